#include "progressions/played_skills.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "theory/listening/playing_report.h"

namespace romanesca {
namespace {

using Verdict = ChordHeard::Verdict;

bool has_right_notes(const ChordHeard& heard) {
  return heard.verdict == Verdict::as_asked || heard.verdict == Verdict::with_more;
}

bool came_in_time(const ChordHeard& heard) { return heard.held_over || std::abs(heard.late_ms) <= in_time_ms; }

/// What is counted of a play-along, and how often there was cause for it.
struct Tally {
  std::string_view exercise;
  int enough = 0;
  int good = 0, all = 0;
  void add(bool went_well) {
    ++all;
    good += went_well ? 1 : 0;
  }
};

PractiseResult result_of(const Tally& tally) {
  if (5 * tally.good >= 4 * tally.all) return PractiseResult::done;
  return 2 * tally.good < tally.all ? PractiseResult::missed : PractiseResult::open;
}

std::array<Tally, 4> tallies_of(const ChordsPlayed& played) {
  constexpr int enough_changes = 4;
  constexpr int enough_of_a_kind = 2;
  Tally changes{played_changes, enough_changes};
  Tally inversions{played_inversions, enough_of_a_kind};
  Tally sevenths{played_sevenths, enough_of_a_kind};
  Tally keys{played_keys, enough_changes};
  const ChordHeard* before = nullptr;
  for (const ChordHeard& heard : played.chords) {
    const bool changed = before == nullptr || before->asked.chord != heard.asked.chord;
    before = &heard;
    if (heard.verdict == Verdict::not_clear) continue;
    const Chord& asked = heard.asked.chord;
    const bool right = has_right_notes(heard);
    if (played.timing_matters && changed) changes.add(right && came_in_time(heard));
    if (played.basses_heard && asked.inversion().value_or(0) > 0) inversions.add(right);
    if (asked.type.has_seventh()) sevenths.add(right);
    if (played.in_another_key) keys.add(right);
  }
  return {changes, inversions, sevenths, keys};
}

}  // namespace

std::vector<SkillPlayed> skills_played(const ChordsPlayed& played) {
  const auto tallies = tallies_of(played);
  std::vector<SkillPlayed> all;
  for (const Skill& skill : skills()) {
    if (skill.level > played.level) continue;
    for (const Tally& tally : tallies) {
      const bool trains = std::find(skill.played.begin(), skill.played.end(), tally.exercise) != skill.played.end();
      if (trains && tally.all >= tally.enough)
        all.push_back({&skill, tally.exercise, tally.good, tally.all, result_of(tally)});
    }
  }
  return all;
}

std::string describe(const SkillPlayed& played) {
  const std::string_view says = played.result == PractiseResult::done     ? "Counted as done on the path of skills"
                                : played.result == PractiseResult::missed ? "Comes again soon on the path of skills"
                                                                          : "Not sure yet, and not counted";
  return fmt::format("{}: {}, {} of {}.", says, played.skill->name, played.good, played.all);
}

}  // namespace romanesca
