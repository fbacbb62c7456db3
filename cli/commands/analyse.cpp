#include <fmt/format.h>

#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/analysis_text.h"
#include "cli/formats/chords_json.h"
#include "cli/options.h"
#include "cli/studio/file_io.h"
#include "cli/studio/own_settings.h"
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
  auto terms = std::make_shared<CadenceTermsOption>();
  terms->add(parser);
  auto next = std::make_shared<bool>(false);
  parser.add_flag("--next", *next, "what could follow the last chord, with reasons");
  return [=, &parser, &console] {
    const auto file = options->out_given({"txt", "json"});
    if (*minor_degrees != "major" && *minor_degrees != "natural") {
      throw Failure(ExitStatus::wrong_input, fmt::format("--minor-degrees: unknown value \"{}\"", *minor_degrees),
                    "choose major or natural");
    }
    const bool level_given = parser.given("--level");
    const std::vector<Level> levels_here = value_or_throw(own_levels(console.configuration));
    if (level_given) or_throw(check_level("--level", *level));
    const MinorDegrees style = *minor_degrees == "major" ? MinorDegrees::from_major : MinorDegrees::from_natural;
    options->moves = false;
    const auto key = options->key_given(console);
    NamedProgression source = options->source(console);
    const bool absolute = source.progression.notation == Notation::absolute;
    if (absolute && key) source.progression.key = key;
    // As written; not copied where it need not be: a long song has many chords.
    std::optional<Progression> written;
    if (source.progression.notation != Notation::absolute) written = source.progression;
    const Placement placed = value_or_throw(place(std::move(source), absolute ? std::nullopt : key, style));
    const Analysis& analysis = placed.analysis;
    AnalysisReport report = report_on(written ? *written : placed.progression, analysis, level_given ? *level : 0,
                                      levels_here, terms->checked(console));
    if (*next) report.next = continuations(analysis);
    const bool json_file = file && ending_of(*file) == "json";
    if (options->json) write_output(analysis_json(report).text(), std::nullopt, console);
    if (json_file) write_output(analysis_json(report).text(), file, console);
    if (json_file || (!file && options->json)) return;
    const int width = file ? 80 : console.width;
    write_output(*next ? next_text(report, width) : analysis_text(report, width), file, console);
  };
}

}  // namespace romanesca
