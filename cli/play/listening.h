#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "cli/studio/live_arrangement.h"
#include "progressions/played_skills.h"
#include "synth/hearing/tone_listener.h"
#include "synth/live/live_devices.h"
#include "theory/listening/chord_listener.h"
#include "theory/listening/heard_notes.h"
#include "theory/listening/line_listener.h"

namespace romanesca {

/// Listens to what the student plays with the band, chords or a line, and reports on it.
class Listening {
 public:
  enum class Kind { chords, line };
  /// @param waits the band waits for each chord, so that lateness is not reported
  Listening(Kind kind, bool waits, const Key& key);

  /// The band plays a chord. @param at_ns when it sounds @param length_ns as planned
  void begin_chord(const LiveArrangement& arrangement, std::size_t chord, std::int64_t at_ns, double length_ns);
  /// The band plays a beat. @param bar from 0 @param at_ns when it sounds
  void begin_beat(const LiveArrangement& arrangement, int bar, int pulse, std::int64_t at_ns);
  /// A message of the student's keyboard.
  void handle_message(const MidiHeard& message);
  /// Sound of a piano, from the first sample on. @param offset_ns added to the time since then it gives monotonic time
  void handle_sound(std::span<const float> samples, double rate_hz, std::int64_t offset_ns);
  /// Judges what is complete at this time.
  void advance_to(std::int64_t now_ns);
  /// The music stops: judges what is left.
  void stop(std::int64_t now_ns);

  /// The last chord in words, for the screen; empty at first.
  [[nodiscard]] std::string latest_result() const;
  /// The student holds this chord now and has struck a note since @p since_ns.
  [[nodiscard]] bool is_played(const Chord& chord, std::int64_t since_ns) const;
  [[nodiscard]] bool heard_anything() const noexcept { return any_note_; }
  /// The chords that were asked for, for the path of skills (level and in_another_key as by default); none for a line.
  /// Valid until something else is heard.
  [[nodiscard]] ChordsPlayed chords_played() const;
  /// Sentences to print at the end.
  [[nodiscard]] std::vector<std::string> report() const;

 private:
  Kind kind_;
  bool waits_;
  Key key_;
  ChordListener chords_;
  LineListener line_;
  HeardNotes keys_;
  std::optional<ToneListener> tones_;  ///< since the first sound
  TonesHeard sounding_;                ///< the last look of the microphone
  std::int64_t last_note_on_ns_ = 0;
  bool any_note_ = false;
};

}  // namespace romanesca
