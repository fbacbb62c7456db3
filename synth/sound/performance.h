#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "synth/sound/instrument.h"
#include "synth/sound/tempo_map.h"
#include "theory/notes/note_event.h"

namespace romanesca {

/// A player's place in the band.
struct Part {
  std::string name;
  InstrumentId instrument = InstrumentId::piano;
  float gain_db = 0;  ///< on top of the instrument's own, -60 to 12
  bool muted = false;
};

/// Notes, who plays them, and how fast: all that is needed to make sound.
struct Performance {
  std::vector<NoteEvent> events;  ///< any order; part is an index into parts
  std::vector<Part> parts;
  TempoMap tempo;
  Beats length;  ///< musical length; notes may ring past it
};

}  // namespace romanesca
