#pragma once

#include <span>

#include "synth/files/midi_file.h"
#include "theory/text/errors.h"

namespace romanesca {

/// The longest file that is read, in bytes, and the most notes.
inline constexpr std::size_t longest_midi_file = std::size_t{16} << 20;
inline constexpr std::size_t most_midi_notes = 1'000'000;

/// Reads a Standard MIDI File of format 0 or 1 with ticks per quarter note: running status, tempo changes, programs
/// mapped to the nearest instruments, the sustain pedal as longer notes; unknown events are skipped. Every track and
/// channel that has notes becomes a part. Damaged bytes give an error that names the byte, counted from 0.
[[nodiscard]] Parsed<MidiSong> read_midi(std::span<const std::uint8_t> bytes);

}  // namespace romanesca
