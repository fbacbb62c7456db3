#include <fmt/format.h>
#include <fmt/ranges.h>

#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/chords_json.h"
#include "cli/formats/wrapped_text.h"
#include "cli/options.h"
#include "progressions/library.h"
#include "theory/text/errors.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

struct ProgressionsOptions {
  std::vector<std::string> words;
  std::string mode, show;
  int level = 0;
  bool json = false;
};

OrderedJson pattern_json(const Pattern& pattern) {
  return {{"id", pattern.id},           {"chords", pattern.chords}, {"mode", to_string(pattern.mode)},
          {"level", pattern.level},     {"tags", pattern.tags},     {"family", pattern.family},
          {"says", pattern.description}};
}

std::string pattern_text(const Pattern& pattern, int width) {
  std::string text = fmt::format("{}  (level {}, {})\n", pattern.id, pattern.level, to_string(pattern.mode));
  text += wrapped("    ", pattern.chords, width);
  text += wrapped("    ", pattern.description, width);
  return text + wrapped("    ", fmt::format("[{}]", fmt::join(pattern.tags, ", ")), width);
}

std::vector<const Pattern*> wanted(const ProgressionsOptions& options) {
  if (!options.show.empty()) {
    if (const Pattern* pattern = pattern_named(options.show)) return {pattern};
    std::vector<std::string> ids;
    for (const Pattern& pattern : library()) ids.push_back(pattern.id);
    const auto near = nearest_word(options.show, ids);
    throw Failure(ExitStatus::wrong_input, fmt::format("--show: unknown pattern \"{}\"", options.show),
                  near ? fmt::format("did you mean {}?", *near) : "romanesca progressions lists them all");
  }
  PatternQuery query;
  query.words = options.words;
  if (options.level != 0) {
    or_throw(check_level("--level", options.level));
    query.level = options.level;
  }
  if (!options.mode.empty()) {
    query.mode = parse_mode(options.mode);
    if (!query.mode) {
      throw Failure(ExitStatus::wrong_input, fmt::format("--mode: unknown mode \"{}\"", options.mode),
                    "choose major, minor, dorian, phrygian, lydian, mixolydian or locrian");
    }
  }
  return find_patterns(query);
}

}  // namespace

std::function<void()> set_up_progressions(OptionParser& parser, Console& console) {
  auto options = std::make_shared<ProgressionsOptions>();
  parser.add_option("words", options->words, "words to look for in names, tags and descriptions").value_name("WORD");
  parser.add_option("--level", options->level, "only this level, 1 to 8")
      .value_name("N")
      .refuse_zero("levels are 1 to 8");
  parser.add_option("--mode", options->mode, "only this mode: major, minor, dorian ...").value_name("MODE");
  parser.add_option("--show", options->show, "one pattern").value_name("ID");
  parser.add_flag("--json", options->json, "answer as one JSON object");
  return [options, &console] {
    const auto found = wanted(*options);
    std::string text;
    if (options->json) {
      OrderedJson answer{{"schema", 1}, {"progressions", OrderedJson::array()}};
      for (const Pattern* pattern : found) answer["progressions"].push_back(pattern_json(*pattern));
      text = answer.dump() + "\n";
    } else {
      for (const Pattern* pattern : found) text += (text.empty() ? "" : "\n") + pattern_text(*pattern, console.width);
      if (found.empty()) text = "No pattern fits all of that. Leave out a word, the level or the mode.\n";
    }
    write_output(text, std::nullopt, console);
  };
}

}  // namespace romanesca
