#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/commands/student_action.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/record_export.h"
#include "cli/options.h"
#include "cli/studio/record/plain_text.h"
#include "theory/songs/header_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// The options about a student; those not given change nothing.
struct ProfileOptions {
  std::string name, new_name, date;
  std::optional<int> level, span;
  std::optional<std::string> keys, likes;
  bool json = false;

  void add(OptionParser& parser) {
    parser.add_option("--level", level, "1 to 8 (1 if left out in add)").value_name("N");
    parser
        .add_option("--span", span, "widest stretch of a hand in semitones, 5 to 16; 0 for the usual one of the level")
        .value_name("N");
    parser.add_option("--keys", keys, "keys that the student knows, like \"C, G, A minor\"").value_name("KEYS");
    parser.add_option("--likes", likes, "styles and things that the student likes, like \"pop, waltz\"")
        .value_name("WORDS");
    add_date(parser, date);
    parser.add_flag("--json", json, "answer as one JSON object");
  }

  /// Applies the options to the profile. Throws Failure for an impossible value.
  void apply(Profile& profile) const;
};

std::string checked_name(const std::string& option, const std::string& text) {
  std::string name(trimmed(text));
  if (const auto fault = name_fault(name)) {
    throw Failure(ExitStatus::wrong_input, fmt::format("{} {}", option, *fault),
                  "a first name or initials are enough, like Mira or \"J. K.\"");
  }
  return name;
}

std::vector<Key> keys_given(const std::string& text) {
  std::vector<Key> keys;
  for (const std::string& word : comma_list(text)) {
    const auto key = read_key(word);
    if (!key) {
      const TextError error = key_error(word);
      throw Failure(ExitStatus::wrong_input, "--keys: " + error.message,
                    error.hint.empty() ? "write them with commas, like \"C, G, A minor\"" : error.hint);
    }
    if (std::find(keys.begin(), keys.end(), *key) == keys.end()) keys.push_back(*key);
  }
  return keys;
}

void ProfileOptions::apply(Profile& profile) const {
  if (level) {
    or_throw(check_level("--level", *level));
    profile.level = *level;
  }
  if (span) {
    if (*span != 0) check_span("--span", *span);
    profile.span = *span;
  }
  if (keys) profile.keys = keys_given(*keys);
  if (!likes) return;
  profile.likes = comma_list(*likes);
  for (const std::string& word : profile.likes) {
    if (const auto fault = text_fault(word, longest_word)) {
      throw Failure(ExitStatus::wrong_input, fmt::format("--likes: \"{}\" {}", word, *fault), "a word or two will do");
    }
  }
}

void write_student(const Student& student, const std::string& text, bool json, Console& console) {
  const nlohmann::ordered_json object{{"schema", 1},
                                      {"students", nlohmann::ordered_json::array({student_json(student)})}};
  write_output(json ? object.dump() + "\n" : text, std::nullopt, console);
}

void run_add(const ProfileOptions& options, Console& console) {
  Profile profile;
  profile.name = checked_name("the name", options.name);
  options.apply(profile);
  const Date today = date_or_today(options.date, console);
  Store store = value_or_throw(Store::open(console.data));
  const auto present = value_or_throw(store.students());
  const bool namesake =
      std::any_of(present.begin(), present.end(), [&](const Student& s) { return s.profile.name == profile.name; });
  const Student student = value_or_throw(store.add(profile, today));
  const std::string note =
      namesake ? fmt::format("There is another {0}; this one is called by the id {1}.\n", profile.name, student.id)
               : "";
  write_student(student,
                fmt::format("{} is in the record: id {}, level {}.\n{}", profile.name, student.id, profile.level, note),
                options.json, console);
}

void run_set(const ProfileOptions& options, Console& console) {
  Store store = value_or_throw(Store::open(console.data));
  Student student = value_or_throw(student_named(store, options.name));
  const Profile before = student.profile;
  options.apply(student.profile);
  if (!options.new_name.empty()) student.profile.name = checked_name("--name", options.new_name);
  if (!options.level && !options.span && !options.keys && !options.likes && options.new_name.empty()) {
    throw Failure(ExitStatus::wrong_input, "student set needs to know what to change",
                  "give --level, --span, --keys, --likes or --name");
  }
  if (student.profile != before) {
    student.changed = date_or_today(options.date, console);
    or_throw(store.change(student.id, student.profile, student.changed));
  }
  write_student(
      student,
      fmt::format("{} is as you say now; romanesca student show {} shows it.\n", student.profile.name, student.id),
      options.json, console);
}

}  // namespace

std::function<void()> set_up_student_add(OptionParser& parser, Console& console) {
  auto options = std::make_shared<ProfileOptions>();
  parser.add_option("name", options->name, "a first name or, better, initials").required().value_name("NAME");
  options->add(parser);
  return [options, &console] { run_add(*options, console); };
}

std::function<void()> set_up_student_set(OptionParser& parser, Console& console) {
  auto options = std::make_shared<ProfileOptions>();
  add_student_name(parser, options->name);
  parser.add_option("--name", options->new_name, "another name").value_name("NAME");
  options->add(parser);
  return [options, &console] { run_set(*options, console); };
}

}  // namespace romanesca
