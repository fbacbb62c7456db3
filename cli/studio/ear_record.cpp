#include "cli/studio/ear_record.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

namespace romanesca {
namespace {

constexpr std::string_view begins = "heard: ";
constexpr std::string_view between = " as ";

}  // namespace

Entry entry_of_check(const Exercise& exercise, const ExerciseCheck& check, const Date& date) {
  Entry entry;
  entry.date = date;
  entry.kind = check.right ? EntryKind::done : EntryKind::missed;
  entry.exercise = exercise.id;
  entry.key = exercise.asked_key;
  entry.level = exercise.level;
  entry.seed = static_cast<std::int64_t>(std::min(exercise.seed, static_cast<std::uint64_t>(largest_seed)));
  std::vector<Confusion> told;
  for (const Confusion& each : check.confused) {
    if (std::find(told.begin(), told.end(), each) != told.end()) continue;
    told.push_back(each);
    entry.text += fmt::format("{}{}{}{}", told.size() == 1 ? begins : "; ", each.was, between, each.taken_for);
  }
  return entry;
}

std::vector<std::string> confused_words(const std::vector<Entry>& entries, const std::string& exercise) {
  constexpr int answers = 3;
  std::vector<std::string> words;
  const auto add = [&](const std::string& word) {
    if (!word.empty() && std::find(words.begin(), words.end(), word) == words.end()) words.push_back(word);
  };
  int seen = 0;
  for (auto entry = entries.rbegin(); entry != entries.rend() && seen < answers; ++entry) {
    const bool answered = entry->kind == EntryKind::done || entry->kind == EntryKind::missed;
    if (!answered || entry->exercise != exercise) continue;
    ++seen;
    if (!entry->text.starts_with(begins)) continue;
    std::istringstream pairs(entry->text.substr(begins.size()));
    for (std::string pair; std::getline(pairs, pair, ';');) {
      const std::size_t at = pair.find(between);
      if (at == std::string::npos) continue;
      const std::size_t from = pair.find_first_not_of(' ');
      add(pair.substr(from, at - from));
      add(pair.substr(at + between.size()));
    }
  }
  return words;
}

}  // namespace romanesca
