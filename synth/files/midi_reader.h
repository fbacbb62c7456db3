#pragma once

#include <span>
#include <string>
#include <variant>

#include "synth/files/midi_file.h"

namespace romanesca {

/// Why bytes are no Standard MIDI File that can be played.
struct MidiFault {
  std::string message;
  std::size_t byte = 0;  ///< where, counted from 0
};

/// The longest file that is read, and the most notes.
inline constexpr std::size_t longest_midi_file = std::size_t{16} << 20;
inline constexpr std::size_t most_midi_notes = 1'000'000;

/// Reads a Standard MIDI File of format 0 or 1 with ticks per quarter note: running status, tempo changes, programs
/// mapped to the nearest instruments, the sustain pedal as longer notes; what it does not know it skips. Every track
/// and channel that has notes becomes a part. Damaged bytes give a fault, never a crash.
[[nodiscard]] std::variant<MidiSong, MidiFault> read_midi(std::span<const std::uint8_t> bytes);

}  // namespace romanesca
