#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "synth/files/midi_file.h"
#include "synth/live/live_devices.h"
#include "theory/chords/key.h"
#include "theory/notes/meter.h"

namespace romanesca {

/// Writes down what a keyboard plays, in the bars and beats of the band. While the band waits or is slowed down, so is
/// the tempo of what is written.
class LiveRecording {
 public:
  /// The band comes to a beat. @param in_bar its place in the bar @param length until the next @param bar of the meter
  void beat(std::int64_t time_ns, Beats in_bar, Beats length, Beats bar);
  /// The band comes to a chord.
  void chord(std::int64_t time_ns, const std::string& symbol);
  /// A message of the keyboard; notes before the first beat count as on it.
  void hear(const MidiHeard& heard);

  [[nodiscard]] bool empty() const noexcept { return notes_.empty(); }
  /// @param end_ns when it stopped
  [[nodiscard]] MidiSong song(const std::string& title, const Key& key, const Meter& meter, std::int64_t end_ns) const;

 private:
  struct Beat {
    std::int64_t time_ns;
    Beats place, length;
  };
  struct Note {
    std::int64_t from_ns, to_ns;  ///< to 0: still down
    std::uint8_t midi, velocity;
  };
  struct Name {
    std::int64_t time_ns;
    std::string text;
  };
  void key_up(std::uint8_t midi, std::int64_t time_ns);
  [[nodiscard]] Beats place_of(std::int64_t time_ns) const;

  std::vector<Beat> beats_;
  std::vector<Note> notes_;
  std::vector<Name> names_;
  std::array<std::int32_t, 128> open_{};  ///< index of the note that is down, plus one
  std::array<bool, 128> held_by_pedal_{};
  bool pedal_ = false;
};

}  // namespace romanesca
