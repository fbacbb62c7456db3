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
};

/// What a drum part plays, row after row.
[[nodiscard]] std::vector<Stroke> drum_strokes(const StylePart& part, const Style& style, const Score& score);

/// What a pitched part plays, in order of time, each stroke inside its chord. A new chord is always heard: the bass
/// strikes at every change, the others change the chord where they sound, and strike it at its start where the
/// style would leave it out. P within a beat before a change belongs to the next chord, which is then not struck
/// again while it holds. In a bar where the style says tacet nothing is played.
[[nodiscard]] std::vector<Stroke> chord_strokes(const StylePart& part, const Style& style, const Score& score);

}  // namespace romanesca
