#pragma once

#include <optional>
#include <string>

#include "synth/files/midi_file.h"

namespace romanesca {

/// The Standard MIDI File that the argument names, or nothing if it is no such file (then it is a progression).
/// Throws Failure for one that begins like a MIDI file and is damaged.
[[nodiscard]] std::optional<MidiSong> read_midi_argument(const std::string& argument);

}  // namespace romanesca
