#include <fmt/format.h>

#include <memory>

#include "cli/formats/analysis_json.h"
#include "cli/formats/analysis_text.h"
#include "cli/commands/answer.h"
#include "cli/commands/command_table.h"
#include "cli/failure.h"
#include "cli/options.h"
#include "cli/studio/output_file.h"
#include "cli/studio/user_levels.h"
#include "theory/analysis/remarks.h"

namespace romanesca {

std::function<void()> set_up_analyse(OptionParser& parser, Console& console) {
  auto options = std::make_shared<CommonOptions>();
  auto minor_degrees = std::make_shared<std::string>("major");
  options->add_progression(parser);
  options->add_key(parser);
  options->add_out(parser, ".txt or .json");
  options->add_json(parser);
  parser
      .add_option("--minor-degrees", *minor_degrees,
                  "in minor write bVI, counted from the major scale (major), or VI, from the natural one (natural)")
      .value_name("major|natural");
  auto level = std::make_shared<int>(0);
  parser.add_option("--level", *level, "what to try next is for a student of this level, 1 to 8 (else the song's own)")
      .value_name("N");
  auto next = std::make_shared<bool>(false);
  parser.add_flag("--next", *next, "what could follow the last chord, with reasons");
  return [=, &parser, &console] {
    const auto file = options->out_given({"txt", "json"});
    if (*minor_degrees != "major" && *minor_degrees != "natural") {
      throw Failure(ExitStatus::wrong_input, fmt::format("--minor-degrees: \"{}\" is none that I know", *minor_degrees),
                    "it is major or natural");
    }
    const bool level_given = parser.given("--level");
    const std::vector<Level> own_levels = user_levels(console);
    if (level_given) check_level("--level", *level);
    const MinorDegrees style = *minor_degrees == "major" ? MinorDegrees::from_major : MinorDegrees::from_natural;
    const PlacedProgression placed =
        place(read_progression(options->progression, console), options->key_given(), style);
    const Analysis& analysis = placed.analysis;
    const bool absolute = placed.source.progression.notation == Notation::absolute;
    AnalysisAnswer answer{absolute ? placed.progression : placed.source.progression,
                          analysis,
                          match_patterns(analysis),
                          remarks_on(analysis),
                          level_given ? *level : level_of(analysis, own_levels),
                          {},
                          {}};
    answer.ideas = ideas_for(analysis, own_levels[static_cast<std::size_t>(answer.level) - 1]);
    if (*next) answer.next = continuations(analysis);
    const bool json_file = file && ending_of(*file) == "json";
    if (options->json) give_answer(analysis_json(answer), std::nullopt, console);
    if (json_file) give_answer(analysis_json(answer), file, console);
    if (json_file || (!file && options->json)) return;
    const int width = file ? 80 : console.width;
    give_answer(*next ? next_text(answer, width) : analysis_text(answer, width), file, console);
  };
}

}  // namespace romanesca
