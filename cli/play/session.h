#pragma once

#include <optional>
#include <string>

#include "cli/console.h"
#include "cli/play/controllers.h"
#include "cli/play/listening.h"
#include "cli/play/live_controller.h"
#include "cli/play/live_environment.h"
#include "cli/play/live_recording.h"
#include "cli/play/screen.h"

namespace romanesca {

/// Live playing from the first beat to the last: reads keys, foot switches and the student's keyboard, and shows the
/// screen or plain lines.
class PlaySession {
 public:
  struct Settings {
    bool screen = true;  ///< false: one line per bar
    bool stats = false;
    bool ring_out = false;  ///< let the last notes ring before closing
    bool cautious = false;  ///< the sound goes to speakers: advise a low volume
    std::string title;
  };
  struct InputsAndOutput {
    LiveOutput& output;
    MidiInput* keyboard = nullptr;     ///< the student's; null if there is none
    MidiInput* controls = nullptr;     ///< foot switch or pads; null if there is none, may be `keyboard`
    SoundInput* microphone = nullptr;  ///< beside the student's piano; null if there is none
  };
  PlaySession(LiveController& controller, const InputsAndOutput& ports, Controllers& controllers, Listening* listening,
              LiveEnvironment& environment, Console& console, Settings settings);

  enum class End { left, finished, interrupted, port_gone };
  /// Plays until the user quits, the last round ends or the system interrupts. All notes have ended on return.
  End run();

  [[nodiscard]] const LiveRecording& recording() const noexcept { return recording_; }
  /// "timing: p50 0.100 ms, ...": how late the output was.
  [[nodiscard]] std::string stats_text() const;

 private:
  void read_keys();
  void handle_request(const PlayRequest& request);
  void read_midi();
  void read_microphone();
  void tell_what_was_heard();
  void handle_events();
  void handle_event(const LiveEvent& event);
  void check_port();
  void draw();
  void print_line(const std::string& line);
  void finish();
  [[nodiscard]] std::int64_t sounding_time(const LiveEvent& event) const;

  LiveController& controller_;
  InputsAndOutput ports_;
  Controllers& controllers_;
  Listening* listening_;
  LiveEnvironment& environment_;
  Console& console_;
  Settings settings_;
  ScreenStatus status_;
  std::optional<ScreenPainter> painter_;
  PlayKeys keys_;
  LiveRecording recording_;
  bool leave_ = false, port_lost_ = false, running_when_lost_ = false, stop_confirmed_ = false;
  std::optional<int> awaited_chord_;  ///< index of the chord that the band waits for
  bool microphone_lost_ = false;
  std::int64_t sound_at_ns_ = 0;    ///< when the microphone last had some; 0 before
  std::int64_t resumed_at_ns_ = 0;  ///< when the band last went on after waiting
};

}  // namespace romanesca
