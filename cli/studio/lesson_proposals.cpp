#include "cli/studio/lesson_proposals.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace romanesca {

Result<std::vector<LessonChoice>> lesson_choices(const StudentRecord& record, std::uint64_t seed,
                                                 const std::filesystem::path& configuration,
                                                 const std::optional<Date>& today) {
  const auto levels = own_levels(configuration);
  if (!levels) return levels.error();
  std::vector<LessonChoice> choices;
  for (Proposal& proposal : plan_lesson(learner_of(record, today), exercise_kinds(), *levels, seed)) {
    auto exercise = exercise_of(proposal, *levels);
    if (!exercise) return exercise.error();
    choices.push_back({choice_name(choices.size()), std::move(proposal), std::move(*exercise)});
  }
  return choices;
}

Entry entry_of(const LessonChoice& choice, const Date& date) {
  Entry entry;
  entry.date = date;
  entry.kind = EntryKind::chosen;
  entry.exercise = choice.proposal.exercise;
  entry.key = choice.proposal.key;
  entry.level = choice.proposal.level;
  entry.seed = static_cast<std::int64_t>(choice.proposal.seed);
  entry.choice = choice.letter;
  return entry;
}

Learner learner_of(const StudentRecord& record, const std::optional<Date>& today) {
  const Profile& profile = record.student.profile;
  const auto day_of = [](const Date& date) {
    return static_cast<int>(std::chrono::sys_days(date).time_since_epoch().count());
  };
  Learner learner{profile.level, profile.keys, profile.likes, {}, today ? day_of(*today) : 0};
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
      learner.history[task->second].day = day_of(entry.date);
    } else if (entry.kind != EntryKind::note && !entry.exercise.empty()) {
      place_of_task[entry.number] = learner.history.size();
      std::optional<std::uint64_t> seed;
      if (entry.seed) seed = static_cast<std::uint64_t>(*entry.seed);
      learner.history.push_back({entry.exercise, entry.key, entry.level, seed, result, day_of(entry.date)});
    }
  }
  return learner;
}

std::uint64_t plan_seed(const StudentRecord& record, const Date& day) {
  // A text of its own: what an export or the profile gains in a later version changes no student's proposals.
  std::string text = record.student.uid + "\n";
  for (const Entry& entry : record.entries) {
    text += fmt::format("{} {} {} {} {}\n", entry.number, to_string(entry.date), to_string(entry.kind), entry.exercise,
                        entry.about);
  }
  return 1 + text_hash(text + to_string(day)) % 9999;
}

}  // namespace romanesca
