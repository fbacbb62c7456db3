#include <fmt/format.h>

#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/chords_json.h"
#include "cli/options.h"
#include "cli/studio/file_io.h"
#include "cli/studio/own_settings.h"
#include "progressions/simplification.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

/// What was changed, as comments, so that the text stays one that can be read again.
std::string changes_text(const std::vector<std::string>& changes, int level) {
  std::string text = fmt::format("\n# For level {}:{}\n", level, changes.empty() ? " nothing had to change" : "");
  for (const std::string& change : changes) text += "#   " + change + "\n";
  return text;
}

}  // namespace

std::function<void()> set_up_transpose(OptionParser& parser, Console& console) {
  auto options = std::make_shared<CommonOptions>();
  options->add_progression(parser);
  options->add_key(parser);
  options->add_from(parser);
  options->add_out(parser, ".txt or .json");
  options->add_json(parser);
  auto simplify = std::make_shared<int>(0);
  parser.add_option("--simplify", *simplify, "chords and a key that a student of this level, 1 to 8, can play")
      .value_name("LEVEL");
  return [=, &parser, &console] {
    const auto file = options->out_given({"txt", "json"});
    const auto key = options->key_given(console);
    const bool simplifies = parser.given("--simplify");
    const Level easy = simplifies ? value_or_throw(own_level("--simplify", *simplify, console.configuration)) : Level{};
    if (!key && !simplifies) {
      throw Failure(ExitStatus::wrong_input, "transpose needs a key to go to", "add --key, like --key Eb");
    }
    Placement placed = options->placed(console);
    std::vector<std::string> changes;
    if (simplifies) {
      auto simple = simplified(placed.progression, placed.analysis, easy,
                               key ? std::optional(placed.analysis.keys.main.key) : std::nullopt);
      changes = std::move(simple.changes);
      placed.progression = std::move(simple.progression);
      placed.analysis = analyse(placed.progression, KeyText{simple.key.tonic, simple.key.mode});
    }
    std::string text = write_progression(placed.progression);
    const auto json = [&] {
      OrderedJson answer{
          {"schema", 1}, {"key", key_json(placed.analysis.keys.main)}, {"chords", nullptr}, {"text", text}};
      if (simplifies) answer["changes"] = changes;
      const ChordsJson whole{std::move(answer), placed.analysis.chords.size(),
                             [&](std::size_t i) { return chord_json(placed.progression, placed.analysis, i); }};
      return whole.text();
    };
    const bool json_file = file && ending_of(*file) == "json";
    if (options->json) write_output(json(), std::nullopt, console);
    if (json_file) write_output(json(), file, console);
    if (json_file || (!file && options->json)) return;
    if (simplifies) text += changes_text(changes, *simplify);
    write_output(text, file, console);
  };
}

}  // namespace romanesca
