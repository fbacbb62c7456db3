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

/// A foot switch, pad or key of a MIDI device and what it asks for.
struct LearnedControl {
  enum class Kind { controller, note, program };
  Kind kind = Kind::controller;
  int channel = 0;  ///< 0 to 15
  int number = 0;   ///< 0 to 127
  PlayAction action = PlayAction::start_stop;
  int part = 0;  ///< for mute and solo
};

/// Reads learned controls, one a line, as Controllers::save writes them. Throws Failure with the place.
/// @param source what to call the text in messages
[[nodiscard]] std::vector<LearnedControl> read_controls(const std::string& text, const std::string& source);

/// The controls that were learned, kept in a text file in the program's configuration folder.
class Controllers {
 public:
  /// Reads the file, which need not be there. Throws Failure: with the place for a wrong line, file_refused.
  explicit Controllers(std::filesystem::path file);

  /// What a message asks for: a controller that rises past the middle, a note that is struck, a program.
  [[nodiscard]] std::optional<PlayRequest> asks(const MidiHeard& heard);
  /// The control that a message comes from; nothing for one that only lets go.
  [[nodiscard]] static std::optional<LearnedControl> control_of(const MidiHeard& heard);
  /// A control in place of what it did before, and of what did the same before.
  void learn(const LearnedControl& control);
  /// Throws Failure (file_refused).
  void save() const;

  [[nodiscard]] const std::vector<LearnedControl>& all() const noexcept { return all_; }
  [[nodiscard]] const std::filesystem::path& file() const noexcept { return file_; }

 private:
  std::filesystem::path file_;
  std::vector<LearnedControl> all_;
  std::vector<const LearnedControl*> down_;
};

/// "controller 64 on channel 1"
[[nodiscard]] std::string description(const LearnedControl& control);

/// Where learned controls are kept.
[[nodiscard]] std::filesystem::path controls_file(const Console& console);

/// Asks for a foot switch or pad, and keeps what it is to do. Throws Failure for an action that is none, or without a
/// port; SystemError.
/// @param action "start-stop", "mute 2"
void learn_control(const std::string& action, const std::string& port, const std::string& system,
                   LiveEnvironment& environment, Console& console);

}  // namespace romanesca
