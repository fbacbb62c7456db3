#include "cli/shell/completion.h"

#include <filesystem>
#include <map>

#include "cli/commands/command_table.h"
#include "cli/errors.h"
#include "cli/studio/own_settings.h"
#include "cli/studio/record/store.h"
#include "progressions/exercise.h"
#include "progressions/library.h"

namespace romanesca {
namespace {

const std::vector<std::string> usual_keys{"C",       "G",       "D",       "A",       "E",       "B",
                                          "F",       "Bb",      "Eb",      "Ab",      "Db",      "Gb",
                                          "A minor", "E minor", "B minor", "D minor", "G minor", "C minor"};
const std::vector<std::string> levels{"1", "2", "3", "4", "5", "6", "7", "8"};

/// The options that take one of a few words. A test runs the program with each word.
const std::map<std::string, std::vector<std::string>>& words_of_options() {
  static const std::map<std::string, std::vector<std::string>> table{
      {"--bass", {"stepwise"}},
      {"--bits", {"16", "24"}},
      {"--ending", {"none", "hold", "slow", "button", "tag", "fade", "own"}},
      {"--guide", {"chords", "melody", "tune"}},
      {"--intensity", {"soft", "medium", "full"}},
      {"--key", usual_keys},
      {"--kind", {"improvise", "compose", "technique", "ear", "song"}},
      {"--left", {"root", "fifth", "octave", "broken"}},
      {"--level", levels},
      {"--meter", {"2/4", "3/4", "4/4", "5/4", "6/8", "9/8", "12/8"}},
      {"--minor-degrees", {"major", "natural"}},
      {"--mode", {"major", "minor", "dorian", "phrygian", "lydian", "mixolydian", "locrian"}},
      {"--names", {"english", "german", "solfege"}},
      {"--paper", {"a4", "letter"}},
      {"--rate", {"44100", "48000", "96000"}},
      {"--simplify", levels},
      {"--terms", {"british", "american"}},
      {"--voicing", {"close", "root", "open", "shell", "rootless", "two-hand", "four-part"}},
  };
  return table;
}

std::vector<std::string> student_names(const Console& console) {
  std::vector<std::string> names;
  std::error_code error;
  if (console.data.empty() || !std::filesystem::exists(console.data / "record.db", error)) return names;
  Store store = value_or_throw(Store::open(console.data));
  for (const Student& student : value_or_throw(store.students())) names.push_back(student.profile.name);
  return names;
}

}  // namespace

CompletionWords completion_words(const OptionDescription& option) {
  CompletionWords result;
  if (option.value == "PROGRESSION") return {.files = true, .list = "progressions"};
  if (option.value == "FILE") return {.files = true};
  if (option.value == "FOLDER") return {.folders = true};
  if (option.value == "STYLE") return {.list = "styles"};
  if (option.value == "ID") return {.list = "progressions"};
  if (option.value == "EXERCISE" || option.name == "--id") return {.list = "exercises"};
  if (option.name == "name") return {.list = "students"};
  const auto found = words_of_options().find(option.name);
  if (found != words_of_options().end() && !option.value.empty()) result.words = found->second;
  return result;
}

std::optional<std::vector<std::string>> words_of_list(const std::string& list, const Console& console) {
  std::vector<std::string> words;
  if (list == "commands") {
    for (const Command& command : commands()) words.emplace_back(command.name);
  } else if (list == "progressions") {
    for (const Pattern& pattern : library()) words.push_back(pattern.id);
  } else if (list == "styles") {
    for (const Style& style : value_or_throw(own_styles(console.configuration))) words.push_back(style.id);
  } else if (list == "exercises") {
    for (const ExerciseKind& kind : exercise_kinds()) words.push_back(kind.id);
  } else if (list == "students") {
    words = student_names(console);
  } else {
    return std::nullopt;
  }
  return words;
}

}  // namespace romanesca
