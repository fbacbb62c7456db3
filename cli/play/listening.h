#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cli/studio/live_arrangement.h"
#include "synth/live/live_devices.h"
#include "theory/listening/chord_listener.h"
#include "theory/listening/heard_notes.h"
#include "theory/listening/line_listener.h"

namespace romanesca {

/// Hears what the student plays along with the band, chords or a line, and tells it kindly.
class Listening {
 public:
  enum class Kind { chords, line };
  /// @param waits the band waits for each chord, so that being late is no matter
  Listening(Kind kind, bool waits, const Key& key);

  /// The band comes to a chord. @param at_ns when it is heard
  void ask(const LiveArrangement& arrangement, std::size_t chord, std::int64_t at_ns, double length_ns);
  /// The band comes to a beat. @param bar from 0
  void beat(const LiveArrangement& arrangement, int bar, int pulse, std::int64_t at_ns);
  void hear(const MidiHeard& heard);
  void pass(std::int64_t now_ns);
  void stop(std::int64_t now_ns);

  /// What was heard last, for the screen; empty at first.
  [[nodiscard]] std::string latest() const;
  /// The student plays this chord now, and has struck a note since then.
  [[nodiscard]] bool is_played(const Chord& chord, std::int64_t since_ns) const;
  [[nodiscard]] bool heard_anything() const noexcept { return struck_; }
  /// Sentences for the end.
  [[nodiscard]] std::vector<std::string> report() const;

 private:
  Kind kind_;
  bool waits_;
  Key key_;
  ChordListener chords_;
  LineListener line_;
  HeardNotes keys_;
  std::optional<Chord> now_;  ///< chord of the band
  std::int64_t now_until_ns_ = 0;
  std::int64_t last_struck_ns_ = 0;
  bool struck_ = false;
};

}  // namespace romanesca
