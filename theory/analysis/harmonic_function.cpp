#include "theory/analysis/harmonic_function.h"

#include <array>

#include "theory/analysis/chromatic_chords.h"

namespace romanesca {
namespace {

using namespace intervals;

int semitones_above(PitchClass note, PitchClass from) { return ((note.semitone() - from.semitone()) % 12 + 12) % 12; }

bool fits_scale(const Chord& chord, const Key& key) { return (chord.sounding_tones() & ~key.sounding_tones()) == 0; }

/// A chord that pulls to the root a fourth above its own (or, if diminished, a semitone above): where to.
std::optional<PitchClass> pulls_to(const Chord& chord) {
  const ChordType type = chord.type;
  if (type.is_diminished()) return chord.root + minor_second;
  if (type.has(major_third) && !type.has(major_seventh)) return chord.root + perfect_fourth;
  return std::nullopt;
}

/// The degree of a key that a chord is applied to: the next root, if it is diatonic and not the tonic.
std::optional<ScaleDegree> applied_target(const Chord& chord, const Key& key, const std::optional<Chord>& next) {
  if (!next) return std::nullopt;
  const auto goal = pulls_to(chord);
  if (!goal || !goal->sounds_like(next->root) || goal->sounds_like(key.tonic)) return std::nullopt;
  for (int degree = 2; degree <= 7; ++degree) {
    if (!key.degree(degree).sounds_like(*goal)) continue;
    if (next->type.is_diminished()) return std::nullopt;
    // A7 to D7 is V7/ii as A7 to Dm7 is: the degree is named as the key has it, unless that is diminished.
    const Chord own = key.diatonic_chord(degree, 3);
    // In minor V and v are both at home; a major seventh chord is a place to rest and no further dominant.
    const bool as_heard = own.type.is_diminished() || degree == 5 || next->type.has(major_seventh);
    const ChordType named = as_heard ? next->type.triad() : own.type;
    return numeral_of(Chord::on(own.root, named), key).root;
  }
  return std::nullopt;
}

Origin origin_of(const Chord& chord, const Key& key, const std::optional<Chord>& next) {
  if (is_diatonic(chord, key)) return Origin::diatonic;
  const int above = semitones_above(chord.root, key.tonic);
  const bool blues_degree = chord.type.is_dominant() && (above == 0 || above == 5);
  // From seventh to seventh on I and IV nothing resolves: that is the blues, not a dominant of IV.
  if (blues_degree && next && next->type.is_dominant()) return Origin::blues;
  if (applied_target(chord, key, next)) return Origin::applied;
  if (blues_degree) return Origin::blues;
  if (borrowed_from(chord, key)) return Origin::borrowed;
  const bool plain_triad = chord.type.triad() == chord_types::major || chord.type.triad() == chord_types::minor;
  if ((chord.type.is_diminished() || chord.type.is_augmented()) && next) {
    const int step = semitones_above(next->bass, chord.bass);
    if (step == 1 || step == 2 || step >= 10 || step == 0) return Origin::passing;
  }
  if (plain_triad && (above == 3 || above == 4 || above == 8 || above == 9)) return Origin::chromatic_third;
  return Origin::chromatic;
}

Function function_of(const Chord& chord, const Key& key) {
  const int above = semitones_above(chord.root, key.tonic);
  const bool fourth_family = above == 2 || above == 5 || above == 1;
  if (above == 0) return Function::tonic;
  if (above == 7 || above == 11) return Function::dominant;
  if (fourth_family || above == 8) return Function::predominant;
  if (above == 10) return is_minorish(key.mode) ? Function::dominant : Function::predominant;
  return above == 6 ? Function::none : Function::tonic;
}

/// The chord with a root that harmony books name in the key: bII bIII bVI bVII and never #I #II #V #VI, VII and III and
/// never bI bIV. Diminished and augmented chords lead to their neighbours and keep their letters.
Chord named_as_in_books(const Chord& chord, const Key& key) {
  if (chord.type.is_diminished() || chord.type.is_augmented()) return chord;
  int distance = chord.root.fifths() - key.tonic.fifths();
  while (distance > 6) distance -= 12;
  while (distance < -6) distance += 12;
  const Interval turn{key.tonic.fifths() + distance - chord.root.fifths(), 0};
  return {chord.root + turn, chord.type, chord.bass + turn};
}

/// Whether what the neighbours say of a chord comes before what the chord is by itself. A dominant seventh that leads
/// somewhere is more than a colour or a loan; but bVII7 after iv7 is the backdoor to I, not the V of bIII.
bool explains_better(const Chord& chord, Origin by_itself, const ChromaticReading& explained,
                     const ChordNeighbours& around) {
  if (by_itself == Origin::chromatic) return true;
  if (!chord.type.is_dominant()) return false;
  if (explained.origin != Origin::substitute && explained.origin != Origin::dominant) return false;
  if (by_itself == Origin::chromatic_third) return true;
  const bool leads = around.next && (semitones_above(around.next->root, chord.root) == 11 ||
                                     semitones_above(around.next->root, chord.root) == 5);
  return by_itself == Origin::borrowed && leads;
}

/// A tritone substitute with the letter above its goal's: Gb7 before F, not F#7.
Chord respelled_above(const Chord& chord, const Chord& goal) {
  const Interval turn = goal.root + minor_second - chord.root;
  return {chord.root + turn, chord.type, chord.bass + turn};
}

}  // namespace

std::string_view to_string(Function function) {
  constexpr std::array<std::string_view, 4> names{"tonic", "predominant", "dominant", "none"};
  return names[static_cast<std::size_t>(function)];
}

std::string_view to_string(Origin origin) {
  constexpr std::array<std::string_view, 16> names{"diatonic",        "applied",  "borrowed",  "blues",
                                                   "chromatic third", "passing",  "pedal",     "tritone substitute",
                                                   "related ii",      "dominant", "tonicised", "common tone",
                                                   "altered",         "line",     "parallel",  "chromatic"};
  return names[static_cast<std::size_t>(origin)];
}

std::optional<Mode> borrowed_from(const Chord& chord, const Key& key) {
  constexpr std::array<Mode, 6> nearest_first{Mode::major,  Mode::minor,    Mode::mixolydian,
                                              Mode::dorian, Mode::phrygian, Mode::lydian};
  for (const Mode mode : nearest_first) {
    if (mode == key.mode) continue;
    // Of lydian, songs take the bright II; its other foreign chords would rather be slips.
    if (mode == Mode::lydian && semitones_above(chord.root, key.tonic) != 2) continue;
    if (fits_scale(chord, {key.tonic, mode})) return mode;
  }
  return std::nullopt;
}

bool is_diatonic(const Chord& chord, const Key& key) {
  const unsigned foreign = chord.sounding_tones() & ~key.sounding_tones();
  if (foreign == 0) return true;
  if (key.mode != Mode::minor) return false;
  const unsigned leading = 1U << (key.tonic + major_seventh).semitone();
  const unsigned sixth = 1U << (key.tonic + major_sixth).semitone();
  const int above = semitones_above(chord.root, key.tonic);
  unsigned raised = 0;
  if (above == 7 || above == 11 || above == 0) raised |= leading;
  if (above == 5 || above == 2 || above == 9) raised |= sixth;
  return (foreign & ~raised) == 0;
}

ChordReading read_chord(const Chord& chord, const Key& key, const std::optional<Chord>& next, MinorDegrees style) {
  ChordNeighbours around;
  around.next = next;
  return read_chord(chord, key, around, style);
}

ChordReading read_chord(const Chord& chord, const Key& key, const ChordNeighbours& around, MinorDegrees style) {
  const std::optional<Chord>& next = around.next;
  ChordReading reading;
  reading.origin = origin_of(chord, key, next);
  reading.function = function_of(chord, key);
  const bool in_line = chord.type.is_augmented() && !chord.type.has_seventh() &&
                       (is_line_of(chord, around.same_root_before) || is_line_of(chord, around.same_root_after));
  if (reading.origin == Origin::applied && in_line) reading.origin = Origin::line;
  if (reading.origin == Origin::applied) {
    reading.numeral = numeral_applied(chord, key, *applied_target(chord, key, next));
    reading.function = Function::dominant;
    return reading;
  }
  reading.numeral = numeral_of(named_as_in_books(chord, key), key, style);
  if (reading.origin == Origin::diatonic || reading.origin == Origin::line) return reading;
  if (const auto target = target_of_related_two(chord, key, around)) {
    reading.origin = Origin::related_two;
    reading.function = Function::predominant;
    reading.numeral = numeral_applied(chord, key, *target);
    return reading;
  }
  const auto explained = explain_foreign_chord(chord, key, around);
  if (!explained || !explains_better(chord, reading.origin, *explained, around)) return reading;
  reading.origin = explained->origin;
  const bool leads_on = explained->origin == Origin::substitute || explained->origin == Origin::dominant;
  if (leads_on) reading.function = Function::dominant;
  if (!explained->target) return reading;
  if (explained->origin == Origin::dominant) {
    reading.numeral = numeral_applied(chord, key, *explained->target);
  } else if (explained->target->number != 5) {  // before V it is bVI7, which sounds like an augmented sixth
    reading.numeral = numeral_applied(respelled_above(chord, *next), key, *explained->target);
  }
  return reading;
}

}  // namespace romanesca
