#include "theory/listening/playing_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <set>

namespace romanesca {
namespace {

using Verdict = ChordHeard::Verdict;

bool right(const ChordHeard& heard) {
  return heard.verdict == Verdict::as_asked || heard.verdict == Verdict::with_more;
}
bool struck(const ChordHeard& heard) { return heard.verdict != Verdict::nothing && !heard.held_over; }
bool is_clear(const ChordHeard& heard) { return heard.verdict != Verdict::not_clear; }
bool timely(const ChordHeard& heard) { return std::abs(heard.late_ms) <= in_time_ms; }

std::string names(const std::vector<PitchClass>& notes) {
  std::string text;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    text += (i == 0 ? "" : i + 1 == notes.size() ? " and " : ", ") + to_string(notes[i]);
  }
  return text;
}

/// "bar 3", "bars 3, 7 and 9": each once, at most six.
std::string bars_text(std::set<int> bars) {
  constexpr std::size_t most = 6;
  const bool more = bars.size() > most;
  while (bars.size() > most) bars.erase(std::prev(bars.end()));
  std::string text;
  std::size_t i = 0;
  for (const int bar : bars) {
    text += fmt::format("{}{}", i == 0 ? "" : !more && i + 1 == bars.size() ? " and " : ", ", bar);
    ++i;
  }
  return fmt::format("{} {}{}", bars.size() == 1 ? "bar" : "bars", text, more ? " and more" : "");
}

/// Chords of one name that went wrong in one way.
struct Trouble {
  int times = 0;
  std::set<int> bars;
  const ChordHeard* example = nullptr;
  void add(const ChordHeard& heard) {
    ++times;
    bars.insert(heard.asked.bar);
    example = &heard;
  }
};

template <typename Name>
const Trouble* worst(const std::map<Name, Trouble>& troubles) {
  const Trouble* found = nullptr;
  for (const auto& [name, trouble] : troubles) {
    if (found == nullptr || trouble.times > found->times) found = &trouble;
  }
  return found;
}

std::string chord_work(const Trouble& trouble) {
  const ChordHeard& one = *trouble.example;
  std::string text = fmt::format("Work on {} in {}.", to_string(one.asked.chord), bars_text(trouble.bars));
  if (one.verdict == Verdict::nothing) return text + " It was left out; play it alone a few times first.";
  if (one.verdict == Verdict::other_bass) {
    return text + fmt::format(" The notes are right; put {} at the bottom.", to_string(one.asked.chord.bass));
  }
  if (one.verdict == Verdict::part_of_it) return text + fmt::format(" {} is missing there.", names(one.missing));
  if (!one.missing.empty() && !one.foreign.empty()) {
    return text + fmt::format(" Try {} instead of {}.", names(one.missing), names(one.foreign));
  }
  return text + (one.foreign.empty() ? std::string() : fmt::format(" {} does not belong to it.", names(one.foreign)));
}

/// Where the hand comes late or early: the changes that do so most often.
std::string timing_work(std::span<const ChordHeard> heard) {
  std::map<std::string, Trouble> changes;
  std::map<std::string, double> sums;
  for (const ChordHeard& each : heard) {
    if (!struck(each) || timely(each)) continue;
    const std::string change = (each.late_ms > 0 ? "late " : "early ") + to_string(each.asked.chord);
    changes[change].add(each);
    sums[change] += each.late_ms;
  }
  const Trouble* const most = worst(changes);
  if (most == nullptr || most->times < 2) return "";
  const std::string to = to_string(most->example->asked.chord);
  const bool late = most->example->late_ms > 0;
  const double mean = std::abs(sums[(late ? "late " : "early ") + to]) / most->times;
  return fmt::format("Work on the change to {} in {}: it comes {} by about {:.1f} seconds. {}", to,
                     bars_text(most->bars), late ? "late" : "early", std::max(mean / 1000, 0.1),
                     late ? "Move the hand on the last beat before." : "Listen for the drums, and wait for the one.");
}

/// The first chord by name that was right each time; empty where none was.
std::string always_right(std::span<const ChordHeard> heard) {
  std::map<std::string, bool> by_chord;
  for (const ChordHeard& each : heard) {
    bool& fine = by_chord.try_emplace(to_string(each.asked.chord), true).first->second;
    fine = fine && right(each);
  }
  for (const auto& [name, fine] : by_chord) {
    if (fine) return name;
  }
  return "";
}

/// The chord that went wrong most often, and what to do about it; empty where none did.
std::string wrong_work(std::span<const ChordHeard> heard) {
  std::map<std::string, Trouble> chords;
  for (const ChordHeard& each : heard) {
    if (!right(each)) chords[to_string(each.asked.chord)].add(each);
  }
  const Trouble* const most = worst(chords);
  return most == nullptr ? "" : chord_work(*most);
}

}  // namespace

std::string describe(const ChordHeard& heard, bool timing_matters) {
  const std::string asked = to_string(heard.asked.chord);
  std::string text;
  switch (heard.verdict) {
    case Verdict::nothing:
      return asked + ": nothing heard";
    case Verdict::not_clear:
      return asked + ": not heard clearly";
    case Verdict::as_asked:
      text = asked + (heard.corrected ? ", found after a try" : "");
      break;
    case Verdict::with_more:
      text = fmt::format("{} with {} too", asked, names(heard.foreign));
      break;
    case Verdict::other_bass:
      text = fmt::format("{} with another bass", asked);
      break;
    case Verdict::part_of_it:
      text = fmt::format("{} without {}", asked, names(heard.missing));
      break;
    case Verdict::another:
      text = heard.played ? fmt::format("{} instead of {}", to_string(heard.played->chord), asked)
             : heard.missing.empty()
                 ? fmt::format("{} with {}", asked, names(heard.foreign))
                 : fmt::format("{} with {} instead of {}", asked, names(heard.foreign), names(heard.missing));
      break;
  }
  if (!timing_matters || heard.held_over) return text;
  if (timely(heard)) return text + ", in time";
  return text + fmt::format(", {:.2f} s {}", std::abs(heard.late_ms) / 1000, heard.late_ms > 0 ? "late" : "early");
}

std::vector<std::string> PlayingReport::sentences() const {
  std::vector<std::string> all = went_well;
  if (!work_on.empty()) all.push_back(work_on);
  return all;
}

PlayingReport report_on(std::span<const ChordHeard> everything, bool timing_matters) {
  PlayingReport report;
  // What was not heard clearly is told, and says nothing about the student.
  std::vector<ChordHeard> heard;
  std::copy_if(everything.begin(), everything.end(), std::back_inserter(heard), is_clear);
  const std::size_t unclear = everything.size() - heard.size();
  if (heard.empty() && unclear > 0) {
    report.went_well.emplace_back(
        "Nothing was heard clearly. Put the microphone nearer to the piano, and play without other sounds.");
    return report;
  }
  const auto count = [&](auto says) { return std::count_if(heard.begin(), heard.end(), says); };
  const auto played = count([](const ChordHeard& each) { return each.verdict != Verdict::nothing; });
  if (heard.empty() || played == 0) {
    report.went_well.emplace_back("Nothing was heard from the keyboard. Is it the right port, and is it switched on?");
    return report;
  }
  const auto all = static_cast<std::ptrdiff_t>(heard.size());
  const auto good = count(right);
  const auto with_attack = count(struck);
  const auto in_time = count([](const ChordHeard& each) { return struck(each) && timely(each); });
  const auto corrected = count([](const ChordHeard& each) { return each.corrected; });
  if (good == all) {
    report.went_well.push_back(all == 1 ? "The chord was right." : fmt::format("All {} chords were right.", all));
  } else if (2 * good >= all) {
    report.went_well.push_back(fmt::format("{} of {} chords were right.", good, all));
  } else {
    const std::string sure = always_right(heard);
    report.went_well.push_back(sure.empty() ? fmt::format("You kept going: {} of {} chords were played.", played, all)
                                            : fmt::format("{} was right every time.", sure));
  }
  if (timing_matters && with_attack > 1 && in_time == with_attack) {
    report.went_well.emplace_back("Every chord came in time.");
  } else if (timing_matters && 2 * in_time >= with_attack && in_time > 0) {
    report.went_well.push_back(fmt::format("{} of {} came in time.", in_time, with_attack));
  }
  if (corrected > 0) {
    report.went_well.push_back(
        fmt::format("You found {} by ear after a first try.", corrected == 1 ? "one" : fmt::to_string(corrected)));
  }
  if (unclear > 0) {
    report.went_well.push_back(fmt::format("{} not heard clearly and {} not counted.",
                                           unclear == 1 ? "One chord was" : fmt::format("{} chords were", unclear),
                                           unclear == 1 ? "is" : "are"));
  }
  report.work_on = wrong_work(heard);
  if (report.work_on.empty() && timing_matters) report.work_on = timing_work(heard);
  return report;
}

}  // namespace romanesca
