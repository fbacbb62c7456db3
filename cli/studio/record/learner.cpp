#include "cli/studio/record/learner.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace romanesca {

Learner learner_of(const StudentRecord& record) {
  const Profile& profile = record.student.profile;
  Learner learner{profile.level, profile.keys, profile.likes, {}};
  std::vector<Entry> entries = record.entries;
  std::stable_sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) { return a.date < b.date; });
  std::map<int, std::size_t> place_of_task;  // by the task's number
  for (const Entry& entry : entries) {
    const bool answers = entry.kind == EntryKind::done || entry.kind == EntryKind::missed;
    const auto result = entry.kind == EntryKind::done     ? PractiseResult::done
                        : entry.kind == EntryKind::missed ? PractiseResult::missed
                                                          : PractiseResult::open;
    const auto task = place_of_task.find(entry.about);
    if (answers && task != place_of_task.end()) {
      learner.history[task->second].result = result;
    } else if (entry.kind != EntryKind::note && !entry.exercise.empty()) {
      place_of_task[entry.number] = learner.history.size();
      std::optional<std::uint64_t> seed;
      if (entry.seed) seed = static_cast<std::uint64_t>(*entry.seed);
      learner.history.push_back({entry.exercise, entry.key, entry.level, seed, result});
    }
  }
  return learner;
}

std::uint64_t plan_seed(const StudentRecord& record, const Date& day) {
  // A text of its own: what an export or the profile gains in a later version changes no student's proposals.
  std::string text = record.student.mark + "\n";
  for (const Entry& entry : record.entries) {
    text += fmt::format("{} {} {} {} {}\n", entry.number, to_string(entry.date), to_string(entry.kind), entry.exercise,
                        entry.about);
  }
  return 1 + text_hash(text + to_string(day)) % 9999;
}

}  // namespace romanesca
