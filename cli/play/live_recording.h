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

/// Records what a keyboard plays, in the bars and beats of the band. Where the band waits or slows down, the tempo of
/// the recording does too.
class LiveRecording {
 public:
  /// The band plays a beat. @param bar_position its position in the bar @param length until the next beat @param bar
  /// length of a bar
  void add_beat(std::int64_t time_ns, Beats bar_position, Beats length, Beats bar);
  /// The band plays a chord; its symbol becomes a marker.
  void add_chord(std::int64_t time_ns, const std::string& symbol);
  /// A message of the keyboard; notes before the first beat are moved to it.
  void handle_message(const MidiHeard& message);

  [[nodiscard]] bool empty() const noexcept { return notes_.empty(); }
  /// @param end_ns when the recording stopped
  [[nodiscard]] MidiSong song(const std::string& title, const Key& key, const Meter& meter, std::int64_t end_ns) const;

 private:
  struct Beat {
    std::int64_t time_ns;
    Beats position, length;
  };
  struct Note {
    std::int64_t from_ns, to_ns;  ///< to 0: still down
    std::uint8_t midi, velocity;
  };
  struct ChordSymbol {
    std::int64_t time_ns;
    std::string text;
  };
  void key_up(std::uint8_t midi, std::int64_t time_ns);
  [[nodiscard]] Beats position_of(std::int64_t time_ns) const;

  std::vector<Beat> beats_;
  std::vector<Note> notes_;
  std::vector<ChordSymbol> chord_symbols_;
  std::array<std::int32_t, 128> open_note_{};  ///< per key: index of the note that is down plus 1, or 0
  std::array<bool, 128> held_by_pedal_{};
  bool pedal_ = false;
};

}  // namespace romanesca
