#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/notes/meter.h"
#include "theory/notes/note_event.h"

namespace romanesca {

/// A chord that a call is played over.
struct CallChord {
  Beats start, length;  ///< from the beginning of the call
  Chord chord;
};

/// A short phrase that calls for an answer: chord tones, mostly by small steps within a range to sing, in a rhythm of
/// the level; its last note leaves the question open (not the root, where there is another) and its end leaves time to
/// breathe (common practice, no source). Exercises' rhythms are used; meters that have none get even pulses.
/// @param bars 1 to 8 @param chords in order, covering the bars; without a chord the call rests
/// @param level 1 to 8: C4 to C5 at first, an octave and a half from level 4 on @param part of the notes
/// @return notes within the bars, one at a time
[[nodiscard]] std::vector<NoteEvent> call_phrase(std::span<const CallChord> chords, const Meter& meter, int bars,
                                                 int level, std::uint32_t seed, std::uint8_t part);

}  // namespace romanesca
