#include <memory>

#include "cli/analysis_json.h"
#include "cli/analysis_text.h"
#include "cli/answer.h"
#include "cli/command_table.h"
#include "cli/failure.h"
#include "cli/options.h"
#include "cli/output_file.h"
#include "theory/remarks.h"

namespace romanesca {

std::function<void()> set_up_analyse(CLI::App& app, Console& console) {
  auto options = std::make_shared<CommonOptions>();
  auto minor_degrees = std::make_shared<std::string>("major");
  options->add_progression(app);
  options->add_key(app);
  options->add_out(app, ".txt or .json");
  options->add_json(app);
  app.add_option("--minor-degrees", *minor_degrees,
                 "in minor write bVI, counted from the major scale (major), or VI, from the natural one (natural)")
      ->type_name("major|natural");
  return [options, minor_degrees, &console] {
    const auto file = options->out_given({"txt", "json"});
    if (*minor_degrees != "major" && *minor_degrees != "natural") {
      throw Failure(ExitStatus::wrong_input, "--minor-degrees: it is major or natural");
    }
    const MinorDegrees style = *minor_degrees == "major" ? MinorDegrees::from_major : MinorDegrees::from_natural;
    const PlacedProgression placed =
        place(read_progression(options->progression, console), options->key_given(), style);
    const auto patterns = match_patterns(placed.analysis);
    const auto remarks = remarks_on(placed.analysis);
    const auto json = [&] { return analysis_json(placed.progression, placed.analysis, patterns, remarks); };
    const bool json_file = file && ending_of(*file) == "json";
    if (options->json) give_answer(json(), std::nullopt, console);
    if (json_file) give_answer(json(), file, console);
    if (!json_file && (file || !options->json)) {
      give_answer(analysis_text(placed.source.progression.notation == Notation::absolute ? placed.progression
                                                                                         : placed.source.progression,
                                placed.analysis, patterns, remarks, file ? 80 : console.width),
                  file, console);
    }
  };
}

}  // namespace romanesca
