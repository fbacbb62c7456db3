#include "cli/studio/record/record_json_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>

#include "cli/studio/record/plain_text.h"
#include "theory/text/characters.h"
#include "theory/text/nearest_word.h"
#include "theory/voicing/voicing.h"

namespace romanesca {
namespace {

using Json = nlohmann::json;

TextError refused_text(const std::string& source, const std::string& message, const std::string& hint = {}) {
  TextError error;
  error.source = source;
  error.message = message;
  error.hint =
      hint.empty() ? "correct it there, or export it once more; nothing was imported" : hint + "; nothing was imported";
  return error;
}

/// The file's name, and the first error in it.
struct RecordSource {
  std::string name;
  std::optional<TextError> error{};
  void fail(const std::string& message, const std::string& hint = {}) {
    if (!error) error = refused_text(name, message, hint);
  }
};

/// An object of the file with its place. Every member is checked when read; the first error stays in the source, and
/// an unreadable member is empty or zero.
class Member {
 public:
  Member(const Json& object, std::string place, RecordSource& source)
      : object_(object), place_(std::move(place)), source_(source) {
    if (!object.is_object()) fail(place_.empty() ? "this" : "", "is not an object");
  }

  void allow_only(const std::vector<std::string>& names) const {
    for (const auto& item : object_.items()) {
      if (std::find(names.begin(), names.end(), item.key()) != names.end()) continue;
      const auto near = nearest_word(item.key(), names);
      source_.fail(fmt::format("{}{}there is no member \"{}\" here", place_, place_.empty() ? "" : ": ", item.key()),
                   near ? fmt::format("did you mean \"{}\"?", *near) : "");
    }
  }

  [[nodiscard]] bool has(const char* name) const { return object_.contains(name) && !object_[name].is_null(); }
  [[nodiscard]] std::int64_t number(const char* name, std::int64_t otherwise, std::int64_t lowest,
                                    std::int64_t highest) const {
    if (!has(name)) return otherwise;
    const Json& value = object_[name];
    const bool whole = value.is_number_integer() && (!value.is_number_unsigned() || value <= largest_seed);
    if (!whole || value < lowest || value > highest) {
      fail(name, fmt::format("is not a whole number from {} to {}", lowest, highest));
      return otherwise;
    }
    return value.get<std::int64_t>();
  }
  [[nodiscard]] std::string text(const char* name, std::size_t longest) const {
    if (!has(name)) return {};
    return clean(name, object_[name], longest);
  }
  /// Lines of text, which end with \n.
  [[nodiscard]] std::string lines(const char* name, std::size_t longest) const {
    if (!has(name) || !object_[name].is_string()) {
      fail(name, "is not a text");
      return {};
    }
    auto result = object_[name].get<std::string>();
    if (result.size() > longest) fail(name, fmt::format("is longer than {} bytes", longest));
    for (std::string_view rest = result; !rest.empty();) {
      const std::size_t end = std::min(rest.find('\n'), rest.size());
      const std::string_view line = trimmed(rest.substr(0, end));
      if (const auto fault = text_fault(line, longest); fault && !line.empty()) fail(name, *fault);
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return result;
  }
  [[nodiscard]] Date date(const char* name, const Date& otherwise) const {
    if (!has(name)) return otherwise;
    const auto date = parse_date(text(name, longest_word));
    if (!date) fail(name, "is not a date like 2026-11-20");
    return date.value_or(otherwise);
  }
  [[nodiscard]] std::vector<std::string> texts(const char* name) const {
    std::vector<std::string> list;
    for (const Json& each : array(name)) list.push_back(clean(name, each, longest_word));
    return list;
  }
  [[nodiscard]] const Json& array(const char* name) const {
    static const Json empty = Json::array();
    if (!has(name)) return empty;
    if (object_[name].is_array()) return object_[name];
    fail(name, "is not a list");
    return empty;
  }
  /// One of a list. @param what it is: "student" @param index from 0; people count from 1
  [[nodiscard]] Member member(const char* what, std::size_t index, const Json& object) const {
    return {object, fmt::format("{}{}{} {}", place_, place_.empty() ? "" : ", ", what, index + 1), source_};
  }
  void fail(const std::string& name, const std::string& what) const {
    source_.fail(fmt::format("{}{}{} {}", place_, name.empty() || place_.empty() ? "" : ": ", name, what));
  }

 private:
  [[nodiscard]] std::string clean(const char* name, const Json& value, std::size_t longest) const {
    if (!value.is_string()) {
      fail(name, "is not a text");
      return {};
    }
    auto result = value.get<std::string>();
    if (const auto fault = text_fault(result, longest)) fail(name, *fault);
    return result;
  }

  const Json& object_;
  std::string place_;
  RecordSource& source_;
};

Key key_of(const Member& member, const char* name, const std::string& text) {
  const auto key = read_key(text);
  if (!key) member.fail(name, fmt::format("holds \"{}\", which is not a key", text));
  return key.value_or(Key{});
}

Entry read_entry(const Member& member, int number) {
  member.allow_only({"number", "date", "kind", "exercise", "key", "level", "seed", "choice", "about", "text"});
  Entry entry;
  entry.number = static_cast<int>(member.number("number", number, 1, 1000000000));
  if (!member.has("date")) member.fail("date", "is missing");
  entry.date = member.date("date", {});
  const std::string kind = member.text("kind", longest_word);
  const auto known = parse_entry_kind(kind);
  if (!known) member.fail("kind", fmt::format("is \"{}\"; it is set, done, chosen, missed or note", kind));
  entry.kind = known.value_or(EntryKind::note);
  entry.exercise = member.text("exercise", longest_word);
  if (member.has("key")) entry.key = key_of(member, "key", member.text("key", longest_word));
  entry.level = static_cast<int>(member.number("level", 0, 1, 8));
  if (member.has("seed")) entry.seed = member.number("seed", 0, 0, largest_seed);
  entry.choice = member.text("choice", 1);
  if (!entry.choice.empty() && (entry.choice < "A" || entry.choice > "C")) member.fail("choice", "is not A, B or C");
  entry.about = static_cast<int>(member.number("about", 0, 1, 1000000000));
  entry.text = member.text("text", longest_note);
  return entry;
}

SongVersion read_song_version(const Member& member, int version, const Date& today) {
  member.allow_only({"title", "version", "date", "text"});
  SongVersion song;
  song.title = member.text("title", longest_title);
  if (song.title.empty()) member.fail("title", "is missing");
  song.version = static_cast<int>(member.number("version", version, 1, 1000000000));
  song.date = member.date("date", today);
  song.text = member.lines("text", longest_song_kept);
  return song;
}

StudentRecord read_student(const Member& member, std::int64_t id, const Date& today) {
  member.allow_only({"id", "mark", "name", "level", "span", "keys", "likes", "since", "changed", "entries", "songs"});
  StudentRecord record;
  Student& student = record.student;
  Profile& profile = student.profile;
  student.id = member.number("id", id, 1, 1000000000);
  profile.name = member.text("name", longest_word + 40);
  if (const auto fault = name_fault(profile.name)) member.fail("name", *fault);
  profile.level = static_cast<int>(member.number("level", 1, 1, 8));
  profile.span = static_cast<int>(member.number("span", 0, narrowest_span, widest_span));
  for (const std::string& text : member.texts("keys")) {
    const Key key = key_of(member, "keys", text);
    if (std::find(profile.keys.begin(), profile.keys.end(), key) == profile.keys.end()) profile.keys.push_back(key);
  }
  for (const std::string& word : member.texts("likes")) {
    if (word.empty() || word.find(',') != std::string::npos) member.fail("likes", "holds an empty word or a comma");
    profile.likes.push_back(word);
  }
  student.since = member.date("since", today);
  student.changed = member.date("changed", student.since);
  student.uid =
      member.has("mark") ? member.text("mark", longest_word) : uid_of(profile.name, student.since, student.id);
  const bool hexadecimal =
      student.uid.size() == 16 && student.uid.find_first_not_of("0123456789abcdef") == std::string::npos;
  if (!hexadecimal) member.fail("mark", "is not 16 hexadecimal digits");
  int number = 0;
  for (const Json& each : member.array("entries")) {
    const auto index = static_cast<std::size_t>(number);
    record.entries.push_back(read_entry(member.member("entry", index, each), number + 1));
    if (record.entries.back().number <= (number == 0 ? 0 : record.entries[index - 1].number)) {
      member.fail("entries", fmt::format("are not in the order of their numbers at entry {}", index + 1));
    }
    ++number;
  }
  for (const Json& each : member.array("songs")) {
    const std::size_t index = record.songs.size();
    record.songs.push_back(read_song_version(member.member("song", index, each), static_cast<int>(index) + 1, today));
  }
  return record;
}

Parsed<Json> parse(const std::string& text, const std::string& source) {
  try {
    return Json::parse(text);
  } catch (const Json::exception& error) {
    const auto* const syntax = dynamic_cast<const Json::parse_error*>(&error);
    const std::size_t end = std::min(syntax == nullptr ? 0 : syntax->byte, text.size());
    const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(end), '\n');
    return refused_text(source, fmt::format("line {} is not as student export writes it", line),
                        "give a file that student export has written");
  }
}

}  // namespace

Parsed<std::vector<StudentRecord>> read_record_json(const std::string& text, const std::string& name,
                                                    const Date& today) {
  const auto json = parse(text, name);
  if (!json) return json.error();
  RecordSource source{name};
  const Member whole(*json, "", source);
  if (!whole.has("schema")) whole.fail("schema", "is missing: this is not an export of students");
  if (!source.error && (*json)["schema"] != 1) {
    source.fail(fmt::format("its schema is {}; only 1 can be read", (*json)["schema"].dump()),
                "use the newer romanesca");
  }
  if (source.error) return *source.error;
  whole.allow_only({"schema", "students"});
  if (!whole.has("students")) whole.fail("students", "is missing");
  std::vector<StudentRecord> records;
  std::set<std::string> uids;
  for (const Json& each : whole.array("students")) {
    const std::size_t index = records.size();
    const Member member = whole.member("student", index, each);
    records.push_back(read_student(member, static_cast<std::int64_t>(index) + 1, today));
    if (!uids.insert(records.back().student.uid).second) member.fail("", "is there twice: its mark is another's too");
    if (source.error) return *source.error;
  }
  if (source.error) return *source.error;
  return records;
}

}  // namespace romanesca
