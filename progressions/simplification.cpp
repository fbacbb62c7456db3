#include "progressions/simplification.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <map>

#include "theory/songs/progression.h"

namespace romanesca {
namespace {

using namespace intervals;

/// The nearest key of the level in the same mode: fewest semitones away, of two equally near the one with fewer
/// accidentals, then the lower one.
Key nearest_key(const Key& from, const Level& level) {
  Key best = from;
  int best_distance = 99;
  for (int fifths = -15; fifths <= 15; ++fifths) {
    const Key candidate{PitchClass(fifths), from.mode};
    if (!candidate.can_be_written() || !level.allows(candidate)) continue;
    const int up = (candidate.tonic.semitone() - from.tonic.semitone() + 12) % 12;
    const int distance = 20 * std::min(up, 12 - up) + 2 * std::abs(candidate.signature()) + (up < 6 ? 1 : 0);
    if (distance >= best_distance) continue;
    best_distance = distance;
    best = candidate;
  }
  return best;
}

/// The seventh chord or triad inside a larger chord.
std::vector<ChordType> smaller(ChordType type) {
  ChordType seventh = type.triad();
  for (const Interval tone : {minor_seventh, major_seventh, diminished_seventh}) {
    if (type.has(tone)) seventh.add(tone);
  }
  std::vector<ChordType> result{type, seventh, type.triad()};
  if (type.has(minor_third)) {
    if (type.is_diminished()) result.push_back(chord_types::diminished);
    result.push_back(chord_types::minor);
  }
  result.push_back(chord_types::major);
  return result;
}

class Simplifier {
 public:
  Simplifier(const Analysis& analysis, const Level& level) : level_(level) {
    for (const AnalysedChord& each : analysis.chords) {
      if (each.reading) readings_[{each.timed.place.line, each.timed.place.column}] = &each;
    }
  }

  Progression simplify(Progression progression) {
    for (Section& section : progression.sections) {
      for (Row& row : section.rows) {
        for (Bar& bar : row.bars) thin_out(bar);
        for (Bar& bar : row.bars) {
          for (Slot& slot : bar.slots) simplify(slot);
        }
      }
    }
    return progression;
  }

  struct Change {
    Chord before, after;
    bool other_sound = false;
  };
  /// In the order of their first place.
  std::vector<Change> changed;
  int thinned_bars = 0;

 private:
  /// Leaves the chords on the strongest beats: the first, the middle, then the quarters of the bar.
  void thin_out(Bar& bar) {
    std::size_t strokes = 0;
    for (const Slot& slot : bar.slots) strokes += std::holds_alternative<Chord>(slot.content) ? 1 : 0;
    const auto most = static_cast<std::size_t>(level_.chords_per_bar);
    if (strokes <= most) return;
    ++thinned_bars;
    const std::size_t count = bar.slots.size();
    std::vector<Slot> kept;
    for (std::size_t part = 0; part < most; ++part) {
      // The chord that sounds where this part of the bar begins.
      std::size_t at = part * count / most;
      while (at > 0 && std::holds_alternative<Hold>(bar.slots[at].content)) --at;
      kept.push_back(bar.slots[at]);
    }
    bar.slots = std::move(kept);
  }

  void simplify(Slot& slot) {
    auto* const chord = std::get_if<Chord>(&slot.content);
    const auto found = readings_.find({slot.place.line, slot.place.column});
    if (chord == nullptr || found == readings_.end()) return;
    const Chord before = *chord;
    const AnalysedChord& reading = *found->second;
    if (chord->type.is_diminished() && !level_.allows(chord_types::diminished)) {
      *chord = without_diminished(*chord, reading.key);
    }
    const Origin origin = read_chord(*chord, reading.key, std::nullopt).origin;
    if (!level_.allows(reading.reading->origin) && !level_.allows(origin)) *chord = at_home(*chord, reading.key);
    for (const ChordType type : smaller(chord->type)) {
      if (!level_.allows(type)) continue;
      chord->type = type;
      break;
    }
    const auto inversion = chord->inversion();
    if (chord->bass != chord->root && inversion.value_or(3) > level_.inversions) chord->bass = chord->root;
    if (*chord == before) return;
    // A part of the same chord sounds like it; other tones do not.
    const bool other_sound = (chord->sounding_tones() & ~before.sounding_tones()) != 0;
    const Change change{before, *chord, other_sound};
    const bool known = std::any_of(changed.begin(), changed.end(),
                                   [&](const Change& each) { return each.before == before && each.after == *chord; });
    if (!known) changed.push_back(change);
  }

  /// A diminished chord is the upper part of another one: on the second degree of the fourth degree's minor triad,
  /// elsewhere of the dominant seventh a major third lower.
  static Chord without_diminished(const Chord& chord, const Key& key) {
    const int above = (chord.root.semitone() - key.tonic.semitone() + 12) % 12;
    if (above == 2) return Chord::on(chord.root + minor_third, chord_types::minor);
    return Chord::on(chord.root - major_third,
                     chord.type.has_seventh() ? chord_types::dominant_seventh : chord_types::major);
  }

  /// The key's own chord in place of a foreign one: on the same letter, or for a root outside the key the chord with
  /// the same function. With a seventh where there was one.
  static Chord at_home(const Chord& chord, const Key& key) {
    const int above = (chord.root.semitone() - key.tonic.semitone() + 12) % 12;
    int degree = 0;
    for (int number = 1; number <= 7; ++number) {
      if (key.degree(number).sounds_like(chord.root)) degree = number;
    }
    if (degree == 7) degree = 5;  // the chord on the seventh degree is the upper part of the dominant seventh
    if (degree == 0) {
      constexpr std::array<int, 12> stand_in{1, 4, 2, 1, 1, 4, 5, 5, 4, 6, 5, 5};  // by semitones above the tonic
      degree = stand_in[static_cast<std::size_t>(above)];
    }
    Chord own = key.diatonic_chord(degree, chord.type.has_seventh() ? 4 : 3);
    if (is_minorish(key.mode) && degree == 5)
      own.type = chord.type.has_seventh() ? chord_types::dominant_seventh : chord_types::major;
    return own;
  }

  const Level& level_;
  std::map<std::pair<int, int>, const AnalysedChord*> readings_;
};

std::string accidentals_text(const Key& key) {
  const int signature = key.signature();
  const int count = std::abs(signature);
  if (count == 0) return "no sharps or flats";
  return fmt::format("{} {}{}", count, signature > 0 ? "sharp" : "flat", count == 1 ? "" : "s");
}

}  // namespace

Simplification simplified(const Progression& progression, const Analysis& analysis, const Level& level,
                          const std::optional<Key>& key) {
  Simplification result;
  const Key from = analysis.keys.main.key;
  result.key = key ? *key : level.allows(from) ? from : nearest_key(from, level);
  Simplifier simplifier(analysis, level);
  result.progression = simplifier.simplify(progression);
  const Interval by = interval_between(from.tonic, result.key.tonic);
  if (result.key != from) {
    result.progression = transposed(result.progression, by);
    result.progression.key = KeyText{result.key.tonic, result.key.mode};
    result.changes.push_back(fmt::format("{} ({}) is now {} ({})", to_string(from), accidentals_text(from),
                                         to_string(result.key), accidentals_text(result.key)));
  }
  for (const auto& change : simplifier.changed) {
    result.changes.push_back(fmt::format("{} is now {}{}", to_string(transposed(change.before, by)),
                                         to_string(transposed(change.after, by)),
                                         change.other_sound ? "; here the sound changes" : ""));
  }
  if (!level.allows(result.key)) {
    result.changes.push_back(
        fmt::format("{} has {}, more than the level", to_string(result.key), accidentals_text(result.key)));
  }
  if (simplifier.thinned_bars > 0) {
    result.changes.push_back(fmt::format("chords between the strong beats are left out ({} bar{})",
                                         simplifier.thinned_bars, simplifier.thinned_bars == 1 ? "" : "s"));
  }
  return result;
}

}  // namespace romanesca
