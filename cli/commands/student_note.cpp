#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/commands/student_action.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/record_export.h"
#include "cli/formats/student_text.h"
#include "cli/options.h"
#include "cli/studio/record/plain_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

struct NoteOptions {
  std::string name, text, date;
  std::string set, chosen, done, missed;
  CommonOptions common;
  std::optional<int> level;
  std::optional<std::int64_t> seed;
};

/// The kind of entry that the options ask for, and the word given with it.
struct NoteKind {
  EntryKind kind = EntryKind::note;
  std::string word;
};

NoteKind note_kind(const NoteOptions& options) {
  std::vector<NoteKind> all;
  for (const NoteKind& each : {NoteKind{EntryKind::set, options.set}, NoteKind{EntryKind::chosen, options.chosen},
                               NoteKind{EntryKind::done, options.done}, NoteKind{EntryKind::missed, options.missed}}) {
    if (!each.word.empty()) all.push_back(each);
  }
  if (all.size() > 1) {
    throw Failure(ExitStatus::wrong_input, "one thing at a time: --set, --chosen, --done or --missed",
                  "run it again for the other");
  }
  if (all.empty() && options.text.empty()) {
    throw Failure(ExitStatus::wrong_input, "student note needs something to write down",
                  "give a text in quotes, or --set, --chosen, --done or --missed");
  }
  return all.empty() ? NoteKind{} : all.front();
}

/// The entry with the number, or the latest open one with the exercise.
const Entry* entry_meant(const std::vector<Entry>& history, const std::vector<Entry>& open, const std::string& word) {
  const auto numbered = std::find_if(history.begin(), history.end(),
                                     [&](const Entry& entry) { return fmt::to_string(entry.number) == word; });
  if (numbered != history.end()) return &*numbered;
  const auto latest =
      std::find_if(open.rbegin(), open.rend(), [&](const Entry& entry) { return entry.exercise == word; });
  return latest == open.rend() ? nullptr : &*latest;
}

/// Makes the entry an answer to an earlier one.
void answer_entry(Entry& entry, const std::vector<Entry>& history, const std::string& word) {
  const auto open = open_entries(history);
  const Entry* const meant = entry_meant(history, open, word);
  const std::string option = fmt::format("--{}", to_string(entry.kind));
  if (meant == nullptr) {
    if (std::all_of(word.begin(), word.end(), &is_digit)) {
      throw Failure(ExitStatus::wrong_input, fmt::format("{}: there is no entry {}", option, word),
                    "student history shows the numbers");
    }
    entry.exercise = word;
    return;
  }
  if (meant->kind != EntryKind::set && meant->kind != EntryKind::chosen) {
    throw Failure(ExitStatus::wrong_input,
                  fmt::format("{}: entry {} is not a task but \"{}\"", option, meant->number, to_string(meant->kind)),
                  "student show lists the tasks that are open");
  }
  entry.about = meant->number;
  entry.exercise = meant->exercise;
  entry.key = meant->key;
  entry.level = meant->level;
  entry.seed = meant->seed;
}

/// Options override the exercise data that the entry got from its task.
void apply_exercise(Entry& entry, const NoteOptions& options, const Console& console) {
  if (!options.common.key.empty()) {
    const auto key = *options.common.key_given(console);
    entry.key = Key{key.tonic, key.mode.value_or(Mode::major)};
  }
  if (options.level) {
    or_throw(check_level("--level", *options.level));
    entry.level = *options.level;
  }
  if (!options.seed) return;
  if (*options.seed < 0 || *options.seed > largest_seed) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--seed: {} is out of range", *options.seed),
                  fmt::format("choose 0 to {}", largest_seed));
  }
  entry.seed = options.seed;
}

void check_words(const Entry& entry) {
  if (const auto fault = text_fault(entry.text, longest_note)) {
    throw Failure(ExitStatus::wrong_input, "the text " + *fault, "write it as one line of plain text");
  }
  if (const auto fault = text_fault(entry.exercise, longest_word)) {
    throw Failure(ExitStatus::wrong_input, "the exercise's name " + *fault, "give its id, like few-notes");
  }
}

void run_note(const NoteOptions& options, Console& console) {
  const NoteKind what = note_kind(options);
  Entry entry;
  entry.kind = what.kind;
  entry.date = date_or_today(options.date, console);
  entry.text = std::string(trimmed(options.text));
  Store store = value_or_throw(Store::open(console.data));
  const Student student = value_or_throw(student_named(store, options.name));
  if (entry.kind == EntryKind::done || entry.kind == EntryKind::missed) {
    answer_entry(entry, value_or_throw(store.history(student.id)), what.word);
  } else {
    entry.exercise = what.word;
    if (entry.kind != EntryKind::note) entry.level = student.profile.level;
  }
  apply_exercise(entry, options, console);
  check_words(entry);
  entry = value_or_throw(store.note(student.id, std::move(entry)));
  const nlohmann::ordered_json object{
      {"schema", 1}, {"student", student.id}, {"entries", nlohmann::ordered_json::array({entry_json(entry)})}};
  write_output(options.common.json
                   ? object.dump() + "\n"
                   : fmt::format("{}: written down.\n{}", student.profile.name, entries_text({entry}, console.width)),
               std::nullopt, console);
}

}  // namespace

std::function<void()> set_up_student_note(OptionParser& parser, Console& console) {
  auto options = std::make_shared<NoteOptions>();
  add_student_name(parser, options->name);
  parser.add_option("text", options->text, "what there is to say, in quotes").value_name("TEXT");
  parser.add_option("--set", options->set, "an exercise, or another task, that was given").value_name("EXERCISE");
  parser.add_option("--chosen", options->chosen, "an exercise that the student has chosen").value_name("EXERCISE");
  parser.add_option("--done", options->done, "what was done: its number in the history, or an exercise")
      .value_name("NUMBER");
  parser.add_option("--missed", options->missed, "what was not done: its number in the history, or an exercise")
      .value_name("NUMBER");
  options->common.key = {};
  parser.add_option("--key", options->common.key, "the exercise's key, like Eb or \"F# minor\"").value_name("KEY");
  parser.add_option("--level", options->level, "the exercise's level; the student's if left out").value_name("N");
  parser.add_option("--seed", options->seed, "the exercise's seed, which makes the same one again").value_name("N");
  add_date(parser, options->date);
  options->common.add_json(parser);
  return [options, &console] { run_note(*options, console); };
}

}  // namespace romanesca
