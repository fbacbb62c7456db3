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

/// One time of playing along, from the first beat to the last: keys, foot switches and the student's keyboard come in,
/// the screen or its plain lines go out.
class PlaySession {
 public:
  struct Settings {
    bool screen = true;  ///< else a line a bar
    bool stats = false;
    bool ring_out = false;  ///< the end is to be heard
    bool cautious = false;  ///< say that the volume should be low
    std::string title;
  };
  struct Devices {
    LiveOutput& output;
    MidiInput* keyboard = nullptr;  ///< the student's; nothing where nobody listens
    MidiInput* controls = nullptr;  ///< foot switch or pads; may be the keyboard's port
  };
  PlaySession(LiveController& controller, const Devices& devices, Controllers& controllers, Listening* listening,
              LiveEnvironment& environment, Console& console, Settings settings);

  enum class End { left, finished, interrupted, port_gone };
  /// Plays until somebody leaves. All notes have been ended then.
  End run();

  [[nodiscard]] const LiveRecording& recording() const noexcept { return recording_; }
  /// "99 of 100 notes ..."; for the end.
  [[nodiscard]] std::string stats_text() const;

 private:
  void keys();
  void ask(const PlayRequest& request);
  void listen();
  void events();
  void follow(const LiveEvent& event);
  void look_after_port();
  void show();
  void say(const std::string& line);
  void settle();
  [[nodiscard]] std::int64_t heard_at(const LiveEvent& event) const;

  LiveController& controller_;
  Devices devices_;
  Controllers& controllers_;
  Listening* listening_;
  LiveEnvironment& environment_;
  Console& console_;
  Settings settings_;
  ScreenNews news_;
  std::optional<ScreenPainter> painter_;
  PlayKeys keys_;
  LiveRecording recording_;
  bool leave_ = false, port_gone_ = false, playing_when_gone_ = false, stopped_seen_ = false;
  std::optional<int> awaited_;  ///< chord that the band waits for
  std::int64_t let_go_ns_ = 0;  ///< when it last went on
};

}  // namespace romanesca
