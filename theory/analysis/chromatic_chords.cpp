#include "theory/analysis/chromatic_chords.h"

#include <bit>

#include "theory/chords/chord_naming.h"

namespace romanesca {
namespace {

using namespace intervals;

int rise(PitchClass from, PitchClass to) { return ((to.semitone() - from.semitone()) % 12 + 12) % 12; }

/// Dominant seventh chords with any further or altered tones, and augmented triads.
bool sounds_dominant(const Chord& chord) {
  return chord.type.is_dominant() || (chord.type.is_augmented() && !chord.type.has(major_seventh));
}

/// A dominant, or a plain major triad, which can stand for one.
bool can_be_dominant(const Chord& chord) { return sounds_dominant(chord) || chord.type == chord_types::major; }

bool falls_by_fifth(const Chord& from, const Chord& to) { return rise(from.root, to.root) == 5; }
bool falls_by_semitone(const Chord& from, const Chord& to) { return rise(from.root, to.root) == 11; }

bool is_two(const Chord& chord) {
  return chord.type.is_minor() && chord.type.has(minor_seventh) &&
         (chord.type.has(perfect_fifth) || chord.type.has(diminished_fifth));
}

/// Whether a chord is the ii of the dominant after it, or of that dominant's tritone substitute.
bool leads_to_dominant(const Chord& two, const Chord& dominant) {
  if (!two.type.is_minor() || !dominant.type.is_dominant()) return false;
  return falls_by_fifth(two, dominant) || falls_by_semitone(two, dominant);
}

std::optional<ScaleDegree> degree_named(PitchClass root, const Key& key) {
  for (int degree = 2; degree <= 7; ++degree) {
    if (!key.degree(degree).sounds_like(root)) continue;
    const Chord triad = key.diatonic_chord(degree, 3);
    if (triad.type.is_diminished()) return std::nullopt;
    return numeral_of(triad, key).root;
  }
  return std::nullopt;
}

bool leads_or_stays(const Chord& diminished, const Chord& other) {
  for (const PitchClass tone : diminished.tones()) {
    const int step = rise(tone, other.root);
    if (step == 0 || step == 1 || step == 11) return true;
  }
  return false;
}

/// The chord without its sevenths and further tones is of the key, or of its parallel.
bool triad_is_at_home(const Chord& chord, const Key& key) {
  const Chord triad = Chord::on(chord.root, chord.type.triad());
  return is_diatonic(triad, key) || (chord.type.triad() == chord_types::minor && borrowed_from(triad, key));
}

/// The same kind of chord, a semitone or a whole tone away.
bool is_parallel(const Chord& chord, const std::optional<Chord>& other) {
  if (!other || other->type != chord.type || chord.type.size() < 4) return false;
  const int step = rise(chord.root, other->root);
  return step == 1 || step == 2 || step == 10 || step == 11;
}

}  // namespace

bool is_line_of(const Chord& chord, const std::optional<Chord>& other) {
  if (!other || other->root != chord.root || other->type == chord.type) return false;
  const unsigned differ = other->sounding_tones() ^ chord.sounding_tones();
  return std::popcount(differ) <= 2;
}

std::optional<ScaleDegree> target_of_related_two(const Chord& chord, const Key& key, const ChordNeighbours& around) {
  if (!is_two(chord) || !around.next || !around.after_next) return std::nullopt;
  if (!around.next->type.is_dominant() || !falls_by_fifth(chord, *around.next)) return std::nullopt;
  if (!falls_by_fifth(*around.next, *around.after_next)) return std::nullopt;
  return degree_named(around.after_next->root, key);
}

namespace {

/// The chord as a dominant of what follows, or of what should follow.
std::optional<ChromaticReading> explain_as_dominant(const Chord& chord, const Key& key, const ChordNeighbours& around) {
  const auto& next = around.next;
  const auto& before = around.before;
  if (sounds_dominant(chord) && next && falls_by_semitone(chord, *next)) {
    const bool home = next->root.sounds_like(key.tonic);
    return ChromaticReading{Origin::substitute, home ? std::nullopt : degree_named(next->root, key)};
  }
  if (can_be_dominant(chord) && next && falls_by_fifth(chord, *next) && chord.type.has_seventh()) {
    if (next->type.is_diminished()) return ChromaticReading{Origin::dominant, {}};
    const Chord goal = Chord::on(spelled_in(next->root.semitone(), key), next->type.triad());
    return ChromaticReading{Origin::dominant, numeral_of(goal, key).root};
  }
  // The V of a ii-V pair whose goal does not come, or not at once; and a dominant that nothing follows.
  const bool paired = before && is_two(*before) && falls_by_fifth(*before, chord);
  if (chord.type.is_dominant() && (paired || !next)) {
    const auto goal = degree_named(chord.root + perfect_fourth, key);
    if (goal || paired) return ChromaticReading{Origin::dominant, goal};
  }
  return std::nullopt;
}

}  // namespace

std::optional<ChromaticReading> explain_foreign_chord(const Chord& chord, const Key& key,
                                                      const ChordNeighbours& around) {
  const auto& next = around.next;
  const auto& before = around.before;
  if (sounds_dominant(chord) && rise(key.tonic, chord.root) == 7) return ChromaticReading{Origin::altered, {}};
  if (const auto dominant = explain_as_dominant(chord, key, around)) return dominant;
  if (next && leads_to_dominant(chord, *next)) return ChromaticReading{Origin::related_two, {}};
  if (chord.type.is_diminished() && !chord.type.has(minor_seventh)) {
    if (next && leads_or_stays(chord, *next)) return ChromaticReading{Origin::common_tone, {}};
    if (before && leads_or_stays(chord, *before)) return ChromaticReading{Origin::common_tone, {}};
  }
  if (before && sounds_dominant(*before) && (falls_by_fifth(*before, chord) || falls_by_semitone(*before, chord))) {
    return ChromaticReading{Origin::tonicised, {}};
  }
  if (is_line_of(chord, around.same_root_before) || is_line_of(chord, around.same_root_after)) {
    return ChromaticReading{Origin::line, {}};
  }
  if (is_parallel(chord, before) || is_parallel(chord, next)) return ChromaticReading{Origin::parallel, {}};
  if (chord.type.size() > 3 && triad_is_at_home(chord, key)) return ChromaticReading{Origin::altered, {}};
  return std::nullopt;
}

}  // namespace romanesca
