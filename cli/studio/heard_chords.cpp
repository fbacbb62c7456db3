#include "cli/studio/heard_chords.h"

#include <array>

#include "theory/chords/chord_naming.h"

namespace romanesca {
namespace {

using namespace intervals;

constexpr std::array<ChordType, chord_qualities> quality_types{
    chord_types::major,
    chord_types::minor,
    chord_types::dominant_seventh,
    ChordType{unison, major_third, perfect_fifth, major_seventh},
    ChordType{unison, minor_third, perfect_fifth, minor_seventh},
    chord_types::diminished,
    ChordType{unison, perfect_fourth, perfect_fifth}};

}  // namespace

std::optional<std::size_t> heard_class_of(const Chord& chord) {
  const ChordType& type = chord.type;
  const int root = chord.root.semitone();
  if (type.is_diminished()) return chord_class(root, ChordQuality::diminished);
  if (type.is_minor()) {
    return chord_class(root, type.has(minor_seventh) ? ChordQuality::minor_seventh : ChordQuality::minor);
  }
  if (type.has(major_third) && !type.is_augmented()) {
    if (type.has(minor_seventh)) return chord_class(root, ChordQuality::dominant_seventh);
    return chord_class(root, type.has(major_seventh) ? ChordQuality::major_seventh : ChordQuality::major);
  }
  if (!type.has_third() && type.has(perfect_fourth)) return chord_class(root, ChordQuality::suspended_fourth);
  return std::nullopt;
}

Chord chord_heard(std::size_t chord, int bass, const Key& key) {
  const PitchClass root = spelled_in(root_of(chord), key);
  Chord heard = Chord::on(root, quality_types[static_cast<std::size_t>(quality_of(chord))]);
  for (const PitchClass tone : heard.tones()) {
    if (tone.semitone() == bass) heard.bass = tone;
  }
  return heard;
}

}  // namespace romanesca
