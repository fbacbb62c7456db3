#pragma once

#include <cstddef>
#include <vector>

#include "synth/arranging/song_form.h"
#include "synth/arranging/style.h"

namespace romanesca {

/// A sign of a style's grid as a stroke in the piece, from its start to its end.
struct Stroke {
  Beats start, end;
  char sign = 'x';
  int drum = 0;           ///< General MIDI percussion key; 0 for a pitched part
  std::size_t chord = 0;  ///< index into Score::chords that a pitched part plays
  Intensity intensity = Intensity::medium;
  bool leads_up = false;  ///< in a bar that rises to a louder section
};

/// A part of a style, and what makes it play otherwise than the others and another time.
struct PartPlaying {
  const StylePart& part;
  const Style& style;
  const Score& score;
  std::uint32_t seed = 1;
  std::uint32_t number = 0;  ///< its place among the parts
};

/// What a drum part plays, row after row: the grid, fills at the ends of phrases, and the drum that marks a section.
[[nodiscard]] std::vector<Stroke> drum_strokes(const PartPlaying& playing);

/// What a pitched part plays, in order of time, each stroke inside its chord. A new chord is always heard: the bass
/// strikes at every change, the others change the chord where they sound, and strike it at its start where the
/// style would leave it out. P within a beat before a change belongs to the next chord, which is then not struck
/// again while it holds. In a bar where the style says tacet nothing is played. Before a louder section there may be a
/// break.
[[nodiscard]] std::vector<Stroke> chord_strokes(const PartPlaying& playing);

}  // namespace romanesca
