#include "synth/arranging/colour_tones.h"

#include <algorithm>

namespace romanesca {
namespace {

constexpr std::size_t chords_each_side = 8;

/// How many of the chords have the note.
auto chords_with(PitchClass note, std::span<const Chord> chords) {
  const unsigned semitone = 1U << static_cast<unsigned>(note.semitone());
  return std::count_if(chords.begin(), chords.end(),
                       [&](const Chord& chord) { return (chord.sounding_tones() & semitone) != 0; });
}

void add_colour(Chord& chord, std::span<const Chord> around) {
  const auto is_usual = [&](Interval tone, Interval instead) {
    return chords_with(chord.root + tone, around) > chords_with(chord.root + instead, around);
  };
  if (is_usual(intervals::major_second, intervals::minor_second)) {
    chord.type.add(intervals::major_second);
  } else if (chord.type == chord_types::minor && is_usual(intervals::minor_seventh, intervals::major_seventh)) {
    chord.type.add(intervals::minor_seventh);
  }
}

}  // namespace

std::vector<Chord> with_colour_tones(std::span<const Chord> chords) {
  std::vector<Chord> coloured(chords.begin(), chords.end());
  for (std::size_t i = 0; i < chords.size(); ++i) {
    if (chords[i].type != chord_types::major && chords[i].type != chord_types::minor) continue;
    const std::size_t from = i - std::min(i, chords_each_side);
    const std::size_t to = std::min(i + chords_each_side + 1, chords.size());
    add_colour(coloured[i], chords.subspan(from, to - from));
  }
  return coloured;
}

}  // namespace romanesca
