#include "cli/formats/student_text.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cli/formats/wrapped_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

std::string last_date(const std::vector<Entry>& entries) {
  if (entries.empty()) return "";
  const auto last =
      std::max_element(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) { return a.date < b.date; });
  return to_string(last->date);
}

std::string entry_says(const Entry& entry) {
  std::string text = exercise_text(entry);
  if (!entry.choice.empty()) text += fmt::format(" (choice {})", entry.choice);
  if (entry.about != 0) text += fmt::format(" (number {})", entry.about);
  if (!entry.text.empty()) text += (text.empty() ? "" : ": ") + entry.text;
  return text;
}

}  // namespace

std::string exercise_text(const Entry& entry) {
  std::string text = entry.exercise;
  if (entry.key) text += (text.empty() ? "in " : " in ") + to_string(*entry.key);
  if (entry.level != 0) text += fmt::format("{}level {}", text.empty() ? "" : ", ", entry.level);
  if (entry.seed) text += fmt::format("{}seed {}", text.empty() ? "" : ", ", *entry.seed);
  return text;
}

std::string short_keys(const std::vector<Key>& keys) {
  std::string text;
  for (const Key& key : keys) {
    text += (text.empty() ? "" : ", ") + (key.mode == Mode::major ? to_string(key.tonic) : to_string(key));
  }
  return text;
}

std::string entries_text(const std::vector<Entry>& entries, int width) {
  std::string text;
  for (const Entry& entry : entries) {
    const std::string first =
        fmt::format("{:>5}  {}  {:<7} ", entry.number, to_string(entry.date), to_string(entry.kind));
    text += wrapped(first, entry_says(entry), width);
  }
  return text;
}

std::string songs_text(const std::vector<SongVersion>& songs, int width) {
  std::string text;
  for (std::size_t i = 0; i < songs.size(); ++i) {
    const SongVersion& song = songs[i];
    if (i + 1 < songs.size() && songs[i + 1].title == song.title) continue;
    const std::string versions = song.version == 1 ? "one version" : fmt::format("{} versions", song.version);
    text += wrapped("       ", fmt::format("{}: {}, {}", song.title, versions, to_string(song.date)), width);
  }
  return text;
}

std::string student_text(const StudentRecord& record, int width) {
  const Student& student = record.student;
  const Profile& profile = student.profile;
  std::string text = fmt::format("{}  (id {}, level {}, since {})\n", profile.name, student.id, profile.level,
                                 to_string(student.since));
  if (profile.span != 0) text += fmt::format("    hand   {} semitones\n", profile.span);
  if (!profile.keys.empty()) text += wrapped("    keys   ", short_keys(profile.keys), width);
  if (!profile.likes.empty()) text += wrapped("    likes  ", fmt::format("{}", fmt::join(profile.likes, ", ")), width);
  if (!record.songs.empty()) text += "Songs:\n" + songs_text(record.songs, width);
  const auto open = open_entries(record.entries);
  text += open.empty() ? "Nothing is open.\n" : "Open:\n" + entries_text(open, width);
  std::vector<Entry> others;
  for (const Entry& entry : record.entries) {
    if (std::find(open.begin(), open.end(), entry) == open.end()) others.push_back(entry);
  }
  constexpr std::size_t shown = 5;
  if (others.size() > shown) others.erase(others.begin(), others.end() - shown);
  if (!others.empty()) text += "Last:\n" + entries_text(others, width);
  return text;
}

std::string students_text(const std::vector<StudentRecord>& records) {
  if (records.empty()) {
    return "There are no students in the record yet. Add one: romanesca student add Mira --level 1\n";
  }
  std::size_t widest = 4;
  for (const StudentRecord& each : records) widest = std::max(widest, code_points(each.student.profile.name));
  std::string text = fmt::format("  id  {}  level  open  last entry\n", padded("name", widest));
  for (const StudentRecord& each : records) {
    const std::string last = last_date(each.entries);
    text += fmt::format("{:>4}  {}  {:>5}  {:>4}  {}\n", each.student.id, padded(each.student.profile.name, widest),
                        each.student.profile.level, open_entries(each.entries).size(), last.empty() ? "none" : last);
  }
  return text;
}

}  // namespace romanesca
