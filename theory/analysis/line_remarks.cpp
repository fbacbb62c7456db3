#include "theory/analysis/line_remarks.h"

#include <fmt/format.h>

#include <functional>

namespace romanesca {
namespace {

/// Changes of chord: the first of each run of equal chords, without silence.
std::vector<const TimedChord*> changes_of(const Analysis& analysis) {
  std::vector<const TimedChord*> changes;
  for (const AnalysedChord& each : analysis.chords) {
    if (!each.timed.chord) continue;
    if (changes.empty() || *changes.back()->chord != *each.timed.chord) changes.push_back(&each.timed);
  }
  return changes;
}

struct Run {
  std::size_t start = 0;
  std::size_t length = 0;  ///< chords
};

using Link = std::function<int(const Chord& from, const Chord& to)>;

/// The longest run of chords in which every link from one to the next has the same value, not 0.
Run longest_run(const std::vector<const TimedChord*>& changes, const Link& link) {
  Run best;
  Run run{0, 1};
  int value = 0;
  for (std::size_t i = 1; i < changes.size(); ++i) {
    const int next = link(*changes[i - 1]->chord, *changes[i]->chord);
    if (next == 0) {
      run = {i, 1};
    } else if (value != 0 && next == value) {
      run.length += 1;
    } else {
      run = {i - 1, 2};
    }
    value = next;
    if (run.length > best.length && value != 0) best = run;
  }
  return best;
}

int up(PitchClass from, PitchClass to) { return ((to.semitone() - from.semitone()) % 12 + 12) % 12; }

int bass_step(const Chord& from, const Chord& to) {
  const int rise = up(from.bass, to.bass);
  return rise == 1 || rise == 2 ? 1 : rise >= 10 ? -1 : 0;
}

int bass_stays(const Chord& from, const Chord& to) {
  return from.bass.sounds_like(to.bass) && !from.root.sounds_like(to.root) ? 1 : 0;
}

/// A fifth down; the diminished one within a scale counts too (IV to viio).
int falls_a_fifth(const Chord& from, const Chord& to) {
  const int rise = up(from.root, to.root);
  return rise == 5 || (rise == 6 && to.type.is_diminished()) ? 1 : 0;
}

}  // namespace

std::vector<Remark> remarks_on_lines(const Analysis& analysis) {
  std::vector<Remark> remarks;
  const auto changes = changes_of(analysis);
  const auto chord = [&](std::size_t i) -> const Chord& { return *changes[i]->chord; };
  if (const Run run = longest_run(changes, bass_step); run.length >= 4) {
    const bool falls = bass_step(chord(run.start), chord(run.start + 1)) < 0;
    remarks.push_back(
        {"bass", changes[run.start]->bar,
         fmt::format("The bass {} by step, {} to {}: a line that can be sung.", falls ? "falls" : "climbs",
                     to_string(chord(run.start).bass), to_string(chord(run.start + run.length - 1).bass))});
  }
  if (const Run run = longest_run(changes, bass_stays); run.length >= 3) {
    remarks.push_back({"pedal", changes[run.start]->bar,
                       fmt::format("The bass stays on {} while the chords change above it (a pedal point): calm below, "
                                   "movement above.",
                                   to_string(chord(run.start).bass))});
  }
  if (const Run run = longest_run(changes, falls_a_fifth); run.length >= 4) {
    remarks.push_back(
        {"sequence", changes[run.start]->bar,
         fmt::format("{} roots in a row fall by fifths, {} to {}: each chord pulls the next one along.", run.length,
                     to_string(chord(run.start).root), to_string(chord(run.start + run.length - 1).root))});
  }
  return remarks;
}

}  // namespace romanesca
