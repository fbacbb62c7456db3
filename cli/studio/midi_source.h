#pragma once

#include <optional>
#include <string>

#include "synth/files/midi_file.h"
#include "theory/text/errors.h"

namespace romanesca {

/// The Standard MIDI File that the argument names, or nothing if it is no such file (then it is a progression).
/// An error for one that begins like a MIDI file and is damaged.
[[nodiscard]] Result<std::optional<MidiSong>> read_midi_argument(const std::string& argument);

}  // namespace romanesca
