#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cli/console.h"
#include "cli/play/live_environment.h"
#include "cli/play/play_action.h"
#include "synth/live/live_devices.h"

namespace romanesca {

/// A foot switch, pad or key of a MIDI device and the action assigned to it.
struct LearnedControl {
  enum class Kind { controller, note, program };
  Kind kind = Kind::controller;
  int channel = 0;  ///< 0 to 15
  int number = 0;   ///< 0 to 127
  PlayAction action = PlayAction::start_stop;
  int part = 0;  ///< from 1, for mute and solo; else 0
};

/// Reads learned controls, one per line, as Controllers::save writes them. Throws Failure with the line number.
/// @param source name of the text in messages
[[nodiscard]] std::vector<LearnedControl> read_controls(const std::string& text, const std::string& source);

/// The learned controls, kept in a text file in the configuration folder.
class Controllers {
 public:
  /// Reads the file, which need not exist. Throws Failure: wrong_input with the line number, file_refused.
  explicit Controllers(std::filesystem::path file);

  /// The request of a message: a controller that rises to 64 or more, a note-on or a program change.
  [[nodiscard]] std::optional<PlayRequest> asks(const MidiHeard& message);
  /// The control that a message comes from; nothing for a release.
  [[nodiscard]] static std::optional<LearnedControl> control_of(const MidiHeard& message);
  /// Assigns an action to a control. Replaces the control's earlier action and the action's earlier control.
  void learn(const LearnedControl& control);
  /// Throws Failure (file_refused).
  void save() const;

  [[nodiscard]] const std::vector<LearnedControl>& all() const noexcept { return all_; }
  [[nodiscard]] const std::filesystem::path& file() const noexcept { return file_; }

 private:
  std::filesystem::path file_;
  std::vector<LearnedControl> all_;
  std::vector<const LearnedControl*> pressed_;
};

/// "controller 64 on channel 1"
[[nodiscard]] std::string description(const LearnedControl& control);

/// The file of learned controls; empty if there is no configuration folder.
[[nodiscard]] std::filesystem::path controls_file(const Console& console);

/// Waits for a foot switch or pad and saves its action. Throws Failure for an unknown action or without a port;
/// SystemError.
/// @param action "start-stop", "mute 2"
void learn_control(const std::string& action, const std::string& port, const std::string& system,
                   LiveEnvironment& environment, Console& console);

}  // namespace romanesca
