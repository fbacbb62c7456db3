#pragma once

#include <cstdint>

#include "theory/notes/meter.h"

namespace romanesca {

/// A timed note and nothing else: no harmony, no sound. The arranger writes these, the synth and the MIDI file play
/// them.
struct NoteEvent {
  Beats start;                 ///< quarter notes from the start of the piece, 0 or more
  Beats length;                ///< quarter notes, more than 0
  std::uint8_t midi = 60;      ///< MIDI note number, 0 to 127; 60 is C4. For drums the General MIDI percussion key
  std::uint8_t velocity = 80;  ///< 1 to 127
  std::uint8_t part = 0;       ///< index into the list of parts that goes with these events

  friend constexpr bool operator==(const NoteEvent&, const NoteEvent&) noexcept = default;
};

}  // namespace romanesca
