#include "progressions/simplification.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdlib>
#include <map>
#include <utility>

#include "theory/analysis/regions.h"
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

/// The third and fifth of a chord: what a student hears as its kind. A chord without a third has none of its own.
ChordType kind_of(const Chord& chord) {
  if (chord.type.is_diminished()) return chord_types::diminished;
  if (chord.type.is_augmented()) return chord_types::augmented;
  return chord.type.is_minor() ? chord_types::minor : chord_types::major;
}

/// The kind of triad that the key has on a root; on V in minor the major one. Nothing for a root outside the key.
std::optional<ChordType> own_kind(PitchClass root, const Key& key) {
  for (int degree = 1; degree <= 7; ++degree) {
    if (!key.degree(degree).sounds_like(root)) continue;
    return key.mode == Mode::minor && degree == 5 ? chord_types::major : key.diatonic_chord(degree, 3).type;
  }
  return std::nullopt;
}

/// The same chord with fewer tones, the fullest first, on the same root and of the same kind. Where a suspension has
/// taken the third away, the key's own third comes back.
std::vector<ChordType> smaller(const Chord& chord, const Key& key) {
  ChordType triad = kind_of(chord);
  if (!chord.type.has_third() && own_kind(chord.root, key) == chord_types::minor) triad = chord_types::minor;
  std::vector<ChordType> result{chord.type, chord.type.triad()};
  ChordType seventh = chord.type.has_third() ? chord.type.triad() : triad;
  ChordType plain_seventh = triad;
  for (const Interval tone : {minor_seventh, major_seventh, diminished_seventh}) {
    if (!chord.type.has(tone)) continue;
    seventh.add(tone);
    plain_seventh.add(tone);
  }
  result.insert(result.begin() + 1, {seventh, plain_seventh});
  result.push_back(triad);
  return result;
}

/// Why a chord became another one.
enum class Need : std::uint8_t {
  none,     ///< nothing sounds that did not before
  smaller,  ///< the level has no such chord on this root
  home,     ///< the level has no chord from outside the key
};

class Simplifier {
 public:
  Simplifier(const Analysis& analysis, const Level& level) : analysis_(analysis), level_(level) {
    for (std::size_t i = 0; i < analysis.chords.size(); ++i) {
      const AnalysedChord& each = analysis.chords[i];
      if (each.reading) readings_.emplace(std::pair(each.timed.place.line, each.timed.place.column), i);
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
    SimplerChord chord;
    Need need = Need::none;
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
    const AnalysedChord& each = analysis_.chords[found->second];
    const ChordNeighbours around = analysis_.around(found->second);
    const Chord before = *chord;
    const Chord after = simpler(each, around);
    if (after == before) return;
    *chord = after;
    const bool other_sound = (after.sounding_tones() & ~before.sounding_tones()) != 0;
    const Need need = !other_sound ? Need::none : is_at_home(before, each) ? Need::smaller : Need::home;
    const bool known = std::any_of(changed.begin(), changed.end(), [&](const Change& other) {
      return other.chord.before == before && other.chord.after == after;
    });
    if (!known) changed.push_back({{before, after, each.timed.bar}, need});
  }

  /// Whether the level may be asked to play the chord where it stands, apart from its type and bass.
  [[nodiscard]] bool is_at_home(const Chord& chord, const AnalysedChord& each) const {
    return is_diatonic(chord, each.key) || is_diatonic(chord, analysis_.keys.main.key) ||
           level_.allows(each.reading->origin);
  }

  [[nodiscard]] Chord simpler(const AnalysedChord& each, const ChordNeighbours& around) const {
    const Chord& chord = *each.timed.chord;
    if (const auto same_root = of_same_kind(chord, each, around)) return *same_root;
    if (chord.type.is_diminished()) {
      if (const auto other = of_same_kind(upper_part_of(chord, around, each.key), each, around)) return *other;
    }
    if (chord.type.is_augmented()) {
      const Chord plain =
          Chord::on(chord.root, chord.type.has_seventh() ? chord_types::dominant_seventh : chord_types::major);
      if (const auto other = of_same_kind(plain, each, around)) return *other;
    }
    const Chord own = at_home(chord, each.key);
    if (const auto other = of_same_kind(own, each, around)) return *other;
    // A level of the teacher's own may lack the triads of the key: the first chord that it has.
    return level_.chords.empty() ? own : Chord::on(own.root, level_.chords.front());
  }

  /// The chord, or a smaller one on the same root and of the same kind, that the level can play where it stands.
  [[nodiscard]] std::optional<Chord> of_same_kind(const Chord& chord, const AnalysedChord& each,
                                                  const ChordNeighbours& around) const {
    const bool as_written = chord.root == each.timed.chord->root && kind_of(chord) == kind_of(*each.timed.chord);
    for (const ChordType type : smaller(chord, each.key)) {
      Chord candidate{chord.root, type, chord.bass};
      const auto inversion = candidate.inversion();
      if (candidate.bass != candidate.root && inversion.value_or(3) > level_.inversions)
        candidate.bass = candidate.root;
      const bool at_home = (as_written && level_.allows(each.reading->origin)) || is_diatonic(candidate, each.key) ||
                           is_diatonic(candidate, analysis_.keys.main.key) ||
                           level_.allows(read_chord(candidate, each.key, around).origin);
      if (level_.allows(type) && at_home) return candidate;
    }
    return std::nullopt;
  }

  /// A diminished chord is the upper part of another one: as a ii of the minor triad on the fourth degree, elsewhere of
  /// the dominant seventh a major third lower, which leads on as it does.
  static Chord upper_part_of(const Chord& chord, const ChordNeighbours& around, const Key& key) {
    const int above = (chord.root.semitone() - key.tonic.semitone() + 12) % 12;
    const bool before_its_dominant =
        around.next && (around.next->root.semitone() - chord.root.semitone() + 12) % 12 == 5;
    if (above == 2 || before_its_dominant) return Chord::on(chord.root + minor_third, chord_types::minor);
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
    if (degree == 0) {
      constexpr std::array<int, 12> stand_in{1, 4, 2, 1, 1, 4, 5, 5, 4, 6, 5, 5};  // by semitones above the tonic
      degree = stand_in[static_cast<std::size_t>(above)];
    }
    // The diminished chord of a key is the upper part of its dominant, that on the second degree of its subdominant.
    if (key.diatonic_chord(degree, 3).type.is_diminished()) degree = degree == 2 ? 4 : 5;
    Chord own = key.diatonic_chord(degree, chord.type.has_seventh() ? 4 : 3);
    if (key.mode == Mode::minor && degree == 5)
      own.type = chord.type.has_seventh() ? chord_types::dominant_seventh : chord_types::major;
    return own;
  }

  const Analysis& analysis_;
  const Level& level_;
  std::map<std::pair<int, int>, std::size_t> readings_;  // index of the analysed chord at a place of the text
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
  for (const auto& [chord, need] : simplifier.changed) {
    const SimplerChord moved{transposed(chord.before, by), transposed(chord.after, by), chord.bar};
    std::string text = fmt::format("{} is now {}", to_string(moved.before), to_string(moved.after));
    if (need == Need::home) text += ": the level has no such chord from outside the key; the sound changes";
    if (need == Need::smaller)
      text += fmt::format(": the level has no {}; the sound changes", name_of(chord.before.type));
    result.changes.push_back(std::move(text));
    result.chords.push_back(moved);
  }
  result.thinned_bars = simplifier.thinned_bars;
  if (!level.allows(result.key)) {
    result.changes.push_back(
        fmt::format("{} has {}, more than the level", to_string(result.key), accidentals_text(result.key)));
  }
  for (const KeyRegion& region : key_regions(analysis)) {
    const Key there{region.key.tonic + by, region.key.mode};
    if (region.bar == 1 || level.allows(there) || there == result.key) continue;
    result.changes.push_back(fmt::format("from bar {} it is in {} ({}), more than the level", region.bar,
                                         to_string(there), accidentals_text(there)));
  }
  if (simplifier.thinned_bars > 0) {
    result.changes.push_back(fmt::format("chords between the strong beats are left out ({} bar{})",
                                         simplifier.thinned_bars, simplifier.thinned_bars == 1 ? "" : "s"));
  }
  return result;
}

}  // namespace romanesca
