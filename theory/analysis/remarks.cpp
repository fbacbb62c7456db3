#include "theory/analysis/remarks.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <optional>

#include "theory/analysis/chord_remarks.h"
#include "theory/analysis/key_remarks.h"
#include "theory/chords/numeral_text.h"

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

/// Tonics a major third apart, each after its own dominant, in one direction: three at least.
struct CycleOfThirds {
  int bar = 0;
  std::vector<PitchClass> tonics;
};

/// The longest cycle; empty for fewer than three tonics. The ii before a dominant does no harm.
CycleOfThirds cycle_of_thirds(const std::vector<const TimedChord*>& changes) {
  CycleOfThirds best;
  CycleOfThirds cycle;
  int rise = 0;
  for (std::size_t i = 1; i < changes.size(); ++i) {
    const Chord& dominant = *changes[i - 1]->chord;
    const Chord& goal = *changes[i]->chord;
    if (!dominant.type.is_dominant() || goal.type.is_dominant() || up(dominant.root, goal.root) != 5) continue;
    if (!cycle.tonics.empty() && cycle.tonics.back().sounds_like(goal.root)) continue;
    const int step = cycle.tonics.empty() ? 0 : up(cycle.tonics.back(), goal.root);
    const bool goes_on = (step == 4 || step == 8) && (cycle.tonics.size() < 2 || step == rise);
    if (!goes_on) cycle = {changes[i - 1]->bar, {}};
    rise = goes_on ? step : 0;
    cycle.tonics.push_back(goal.root);
    if (cycle.tonics.size() > best.tonics.size()) best = cycle;
  }
  if (best.tonics.size() < 3) best.tonics.clear();
  return best;
}

/// What to say about lines that run through several chords: a bass that walks by step, a bass that stays while the
/// chords change (pedal point), roots that fall by fifths (sequence). The longest of each.
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
  if (const CycleOfThirds cycle = cycle_of_thirds(changes); !cycle.tonics.empty()) {
    // Three tonics make the whole circle of major thirds; what follows goes round again.
    const auto name = [&](std::size_t i) { return to_string(cycle.tonics[i]); };
    remarks.push_back(
        {"sequence", cycle.bar,
         fmt::format("Three keys a major third apart, {}, {} and {}, each with its dominant: the cycle of "
                     "thirds that jazz players call Coltrane changes.",
                     name(0), name(1), name(2))});
  }
  return remarks;
}

/// The chord that arrives at a cadence and the one before it.
struct CadenceChords {
  std::size_t before = 0, arrival = 0;  ///< indices into Analysis::chords
};

/// Whether a change of chord can be the arrival of a cadence of that kind: a bar may have several changes.
bool can_arrive(CadenceKind kind, const AnalysedChord& before, const AnalysedChord& here) {
  const int from = up(here.key.tonic, before.timed.chord->root);
  const int to = up(here.key.tonic, here.timed.chord->root);
  switch (kind) {
    case CadenceKind::authentic:
      return to == 0 && (from == 7 || from == 11);
    case CadenceKind::plagal:
      return to == 0 && from == 5;
    case CadenceKind::deceptive:
      return (to == 8 || to == 9) && (from == 7 || from == 11);
    case CadenceKind::half:
      break;
  }
  return to == 7;
}

std::optional<CadenceChords> chords_of(const Cadence& cadence, const Analysis& analysis) {
  const auto& chords = analysis.chords;
  const auto first = std::lower_bound(chords.begin(), chords.end(), cadence.bar,
                                      [](const AnalysedChord& each, int bar) { return each.timed.bar < bar; });
  std::optional<CadenceChords> found;
  for (auto i = std::max<std::size_t>(1, static_cast<std::size_t>(first - chords.begin()));
       i < chords.size() && chords[i].timed.bar == cadence.bar; ++i) {
    if (!chords[i].reading || !chords[i - 1].reading) continue;
    if (chords[i].timed.chord->root == chords[i - 1].timed.chord->root) continue;
    if (can_arrive(cadence.kind, chords[i - 1], chords[i])) found = CadenceChords{i - 1, i};
  }
  return found;
}

/// Whether nothing but one root sounds from a chord to the end.
bool lasts_to_the_end(std::size_t chord, const Analysis& analysis) {
  const auto& chords = analysis.chords;
  return std::all_of(chords.begin() + static_cast<std::ptrdiff_t>(chord), chords.end(), [&](const AnalysedChord& each) {
    return !each.timed.chord || each.timed.chord->root == chords[chord].timed.chord->root;
  });
}

/// What to say about cadences: the one that ends the piece, and the first interrupted one.
std::vector<Remark> remarks_on_cadences(const Analysis& analysis, CadenceTerms terms) {
  std::vector<Remark> remarks;
  if (analysis.cadences.empty()) return remarks;
  const auto numeral = [&](std::size_t chord) { return to_string(analysis.chords[chord].reading->numeral); };
  const Cadence& last = analysis.cadences.back();
  const auto ending = chords_of(last, analysis);
  if (ending && lasts_to_the_end(ending->arrival, analysis)) {
    const std::string from = numeral(ending->before);
    const std::string to = numeral(ending->arrival);
    const std::string_view home = is_minorish(analysis.chords[ending->arrival].key.mode) ? "i" : "I";
    std::string text;
    if (last.kind == CadenceKind::authentic) {
      text = fmt::format("The ending closes with {} to {} ({}): it sounds finished.", from, to,
                         cadence_term(last.kind, terms));
    } else if (last.kind == CadenceKind::plagal) {
      text = fmt::format("The ending goes from {} to {} ({}): it settles softly.", from, to,
                         cadence_term(last.kind, terms));
    } else if (last.kind == CadenceKind::half) {
      text = fmt::format("The ending stops on {} ({}): it asks to go round again. For a last time add {}.", to,
                         cadence_term(last.kind, terms), home);
    }
    if (!text.empty()) remarks.push_back({"cadence", last.bar, text});
  }
  for (const Cadence& each : analysis.cadences) {
    const auto place = each.kind == CadenceKind::deceptive ? chords_of(each, analysis) : std::nullopt;
    if (!place) continue;
    remarks.push_back({"cadence", each.bar,
                       fmt::format("{} goes to {} instead of home ({}): a small surprise that keeps the story open.",
                                   numeral(place->before), numeral(place->arrival), cadence_term(each.kind, terms))});
    break;
  }
  return remarks;
}

}  // namespace

std::vector<Remark> remarks_on(const Analysis& analysis, CadenceTerms terms) {
  std::vector<Remark> remarks;
  for (const auto& some : {remarks_on_keys(analysis), remarks_on_lines(analysis), remarks_on_cadences(analysis, terms),
                           remarks_on_chords(analysis)}) {
    remarks.insert(remarks.end(), some.begin(), some.end());
  }
  std::stable_sort(remarks.begin(), remarks.end(), [](const Remark& a, const Remark& b) { return a.bar < b.bar; });
  return remarks;
}

}  // namespace romanesca
