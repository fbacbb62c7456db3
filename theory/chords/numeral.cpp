#include "theory/chords/numeral.h"

#include <algorithm>
#include <cstdlib>

namespace romanesca {
namespace {

using namespace intervals;

/// The key that a degree names when something is applied to it.
Key key_on(const ScaleDegree& degree, const Key& key) {
  return {note_of(degree, key), degree.upper ? Mode::major : Mode::minor};
}

Chord realise_named(NamedChord named, int inversion, const Key& key) {
  const PitchClass tonic = key.tonic;
  Chord chord;
  switch (named) {
    case NamedChord::neapolitan:
      chord = Chord::on(tonic + minor_second, chord_types::major);
      break;
    case NamedChord::italian:
      chord = Chord::on(tonic + minor_sixth, {unison, major_third, augmented_sixth});
      break;
    case NamedChord::french:
      chord = Chord::on(tonic + minor_sixth, {unison, major_third, augmented_fourth, augmented_sixth});
      break;
    case NamedChord::german:
      chord = Chord::on(tonic + minor_sixth, {unison, major_third, perfect_fifth, augmented_sixth});
      break;
    case NamedChord::cadential_64:
      chord = Chord::on(tonic, is_minorish(key.mode) ? chord_types::minor : chord_types::major);
      break;
    case NamedChord::none:
      break;
  }
  const auto tones = chord.tones();
  chord.bass = tones[std::min(static_cast<std::size_t>(inversion), tones.size() - 1)];
  return chord;
}

void apply(const ToneChange& change, Chord& chord, const Key& key) {
  if (!change.adds) {
    for (int place = -12; place <= 12; ++place) {
      const Interval tone = Interval::simple(place);
      if (tone.letters() % 7 == (change.number - 1) % 7 && change.number != 8) chord.type.remove(tone);
    }
    return;
  }
  const int letter = (chord.root.letter() + change.number - 1) % 7;
  const int degree = (letter - key.tonic.letter() + 7) % 7 + 1;
  const PitchClass tone(key.degree(degree).fifths() + 7 * change.accidental);
  chord.type.add(tone - chord.root);
}

/// The bass of a chord that tones were taken from: where it is, or else the next tone above that is left.
PitchClass lowest_left(const Chord& chord) {
  PitchClass lowest = chord.bass;
  int nearest = 7;
  for (const PitchClass tone : chord.tones()) {
    const int letters = (tone - chord.bass).letters();
    if (letters >= nearest) continue;
    nearest = letters;
    lowest = tone;
  }
  return lowest;
}

/// A root spelled so far from the key that its numeral would need two accidentals comes back with one.
PitchClass respelled_near(PitchClass name, PitchClass tonic) {
  int distance = name.fifths() - tonic.fifths();
  while (distance > 10) distance -= 12;
  while (distance < -8) distance += 12;
  return PitchClass(tonic.fifths() + distance);
}

}  // namespace

PitchClass note_of(const ScaleDegree& degree, const Key& key) {
  const PitchClass natural = key.degree(degree.number);
  const PitchClass in_major = Key{key.tonic, Mode::major}.degree(degree.number);
  const int lowered = (natural.fifths() - in_major.fifths()) / 7;
  const bool raised_by_case =
      key.mode == Mode::minor && !degree.upper && (degree.number == 6 || degree.number == 7) && degree.accidental == 0;
  if (raised_by_case) return in_major;
  if (degree.accidental == lowered) return natural;
  return PitchClass(natural.fifths() + 7 * degree.accidental);
}

Chord realise(const Numeral& numeral, const Key& key) {
  Key local = key;
  for (std::size_t left = numeral.applied_to.size(); left > 0; --left) {
    local = key_on(numeral.applied_to[left - 1], local);
  }
  if (numeral.named != NamedChord::none) return realise_named(numeral.named, numeral.inversion, local);
  Chord chord = Chord::on(note_of(numeral.root, local), numeral.type);
  if (numeral.bass) {
    chord.bass = note_of(*numeral.bass, local);
  } else if (numeral.inversion > 0) {
    const auto tones = chord.tones();
    chord.bass = tones[std::min(static_cast<std::size_t>(numeral.inversion), tones.size() - 1)];
  }
  for (const ToneChange& change : numeral.changes) apply(change, chord, local);
  if (!numeral.changes.empty() && !numeral.bass) chord.bass = lowest_left(chord);
  return chord;
}

namespace {

ScaleDegree degree_of(PitchClass note, const Key& key, bool upper, MinorDegrees style) {
  const Interval above = note - key.tonic;
  const int number = above.letters() % 7 + 1;
  const int from_major = (note.fifths() - Key{key.tonic, Mode::major}.degree(number).fifths()) / 7;
  const int from_natural = (note.fifths() - key.degree(number).fifths()) / 7;
  const int first = style == MinorDegrees::from_major ? from_major : 0;
  for (const int accidental : {first, from_natural, from_major, 0}) {
    const ScaleDegree degree{number, accidental, upper};
    if (note_of(degree, key) == note) return degree;
  }
  return {number, from_natural, upper};
}

/// Whether the figures 6 64, 65 43 42 can say an inversion of this type: a plain triad or seventh chord.
bool figures_suffice(ChordType type) {
  const ChordType triad = type.triad();
  const bool named = triad == chord_types::major || triad == chord_types::minor || triad == chord_types::diminished ||
                     triad == chord_types::augmented;
  const bool bracketed_seventh = triad.is_augmented() || (type.is_minor() && type.has(major_seventh));
  return named && (type == triad || (type.has_seventh() && type.size() == 4 && !bracketed_seventh));
}

/// A plain triad over the note a seventh above its root is the third inversion of the seventh chord: Bb/Ab in Eb is
/// V42.
Chord with_seventh_of_bass(Chord chord) {
  const bool plain = chord.type == chord_types::major || chord.type == chord_types::minor;
  const Interval above = chord.bass - chord.root;
  if (plain && (above == minor_seventh || above == major_seventh)) chord.type.add(above);
  return chord;
}

}  // namespace

Numeral numeral_of(const Chord& written, const Key& key, MinorDegrees style) {
  const Chord chord = with_seventh_of_bass(written);
  const PitchClass root = respelled_near(chord.root, key.tonic);
  const Interval moved{root.fifths() - chord.root.fifths(), 0};
  Numeral numeral;
  numeral.type = chord.type;
  numeral.root = degree_of(root, key, !chord.type.is_minor(), style);
  const auto inversion = chord.inversion();
  if (inversion && (*inversion == 0 || figures_suffice(chord.type))) {
    numeral.inversion = static_cast<std::int8_t>(*inversion);
  } else if (chord.bass != chord.root) {
    numeral.bass = degree_of(respelled_near(chord.bass + moved, key.tonic), key, true, style);
  }
  return numeral;
}

Numeral numeral_applied(const Chord& chord, const Key& key, const ScaleDegree& target) {
  Numeral numeral = numeral_of(chord, key_on(target, key), MinorDegrees::from_major);
  numeral.applied_to.push_back(target);
  return numeral;
}

}  // namespace romanesca
