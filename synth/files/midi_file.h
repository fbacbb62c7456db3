#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "synth/sound/performance.h"

namespace romanesca {

/// Ticks of a quarter note in files that are written. 960 holds all binary divisions to a 256th and triplets exactly.
inline constexpr int ticks_per_quarter = 960;

/// A chord's name at its position.
struct Marker {
  Beats at;
  std::string text;
};

/// A time signature after the first.
struct MidiMeter {
  Beats at;
  int upper = 4, lower = 4;
};
/// A key signature after the first.
struct MidiKey {
  Beats at;
  int sharps = 0;  ///< -7 to 7
  bool minor = false;
};

/// The contents of a Standard MIDI File.
struct MidiSong {
  Performance performance;
  std::string title;
  int meter_upper = 4, meter_lower = 4;
  int key_sharps = 0;  ///< -7 to 7
  bool key_minor = false;
  std::vector<MidiMeter> later_meters;  ///< in order
  std::vector<MidiKey> later_keys;      ///< in order
  std::vector<Marker> markers;
};

/// A Standard MIDI File of format 1: a track with title, tempos, time and key signature and markers, then one for each
/// part that is not muted, with its name, channel (drums on 10), General MIDI program and notes. A note that
/// still sounds when its key is struck again ends there. Several drum parts share channel 10, each in a track of
/// its own, and the drum set of the first of them. Notes whose times lie on the ticks, and that do not overlap on one
/// key of a part, come back from read_midi exactly. (Standard MIDI Files 1.0, MIDI Association.)
[[nodiscard]] std::vector<std::uint8_t> write_midi(const MidiSong& song);

/// A number as the file stores it: seven bits a byte, all but the last with the top bit set. @param value below 2^28.
void append_variable_length(std::vector<std::uint8_t>& bytes, std::uint32_t value);

}  // namespace romanesca
