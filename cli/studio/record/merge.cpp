#include "cli/studio/record/merge.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

namespace romanesca {
namespace {

bool same_apart_from_number(const Entry& a, const Entry& b) {
  const auto told = [](const Entry& entry) {
    return std::tie(entry.date, entry.kind, entry.exercise, entry.key, entry.level, entry.seed, entry.choice,
                    entry.text);
  };
  return told(a) == told(b);
}

const StudentRecord* record_with_uid(const std::vector<StudentRecord>& records, const std::string& uid) {
  const auto found =
      std::find_if(records.begin(), records.end(), [&](const StudentRecord& each) { return each.student.uid == uid; });
  return found == records.end() ? nullptr : &*found;
}

std::string counted(std::size_t entries, std::size_t songs) {
  std::string text = fmt::format("{} new {}", entries, entries == 1 ? "entry" : "entries");
  if (songs > 0) text += fmt::format(", {} new {} of songs", songs, songs == 1 ? "version" : "versions");
  return text;
}

}  // namespace

const Student* with_uid(const std::vector<Student>& students, const std::string& uid) {
  const auto found = std::find_if(students.begin(), students.end(), [&](const Student& s) { return s.uid == uid; });
  return found == students.end() ? nullptr : &*found;
}

std::vector<Entry> lacking(const std::vector<Entry>& present, const std::vector<Entry>& incoming) {
  std::vector<bool> taken(present.size(), false);
  std::map<int, int> number_here;  // by number in the file
  std::vector<Entry> added;
  int last = present.empty() ? 0 : present.back().number;
  for (const Entry& entry : incoming) {
    std::size_t i = 0;
    while (i < present.size() && (taken[i] || !same_apart_from_number(present[i], entry))) ++i;
    if (i < present.size()) {
      taken[i] = true;
      number_here[entry.number] = present[i].number;
    } else {
      added.push_back(entry);
      number_here[entry.number] = ++last;
    }
  }
  for (Entry& entry : added) {
    entry.number = number_here.at(entry.number);
    const auto about = number_here.find(entry.about);
    entry.about = about == number_here.end() ? 0 : about->second;
  }
  return added;
}

std::vector<SongVersion> lacking(const std::vector<SongVersion>& present, const std::vector<SongVersion>& incoming) {
  std::vector<SongVersion> added;
  for (const SongVersion& song : incoming) {
    const bool known = std::any_of(present.begin(), present.end(), [&](const SongVersion& other) {
      return other.title == song.title && other.text == song.text;
    });
    if (!known) added.push_back(song);
  }
  return added;
}

Merge merged(const std::vector<StudentRecord>& present, const std::vector<StudentRecord>& incoming) {
  Merge merge;
  for (const StudentRecord& each : incoming) {
    const std::string& name = each.student.profile.name;
    StudentRecord result = each;
    const StudentRecord* here = record_with_uid(present, each.student.uid);
    if (here == nullptr) {
      const bool namesake = std::any_of(present.begin(), present.end(),
                                        [&](const StudentRecord& other) { return other.student.profile.name == name; });
      merge.report.push_back(fmt::format("{}: added, {}{}", name, counted(each.entries.size(), each.songs.size()),
                                         namesake ? "; there is another student of this name" : ""));
    } else {
      const bool newer = each.student.changed > here->student.changed;
      const bool differs = each.student.profile != here->student.profile;
      if (!newer) result.student = here->student;
      const std::string profile = !differs ? ""
                                  : newer  ? "; level, keys and so on as in the file, where they are newer"
                                           : "; level, keys and so on stay as they are here";
      merge.report.push_back(fmt::format(
          "{}: {}{}", name,
          counted(lacking(here->entries, each.entries).size(), lacking(here->songs, each.songs).size()), profile));
    }
    merge.records.push_back(std::move(result));
  }
  return merge;
}

}  // namespace romanesca
