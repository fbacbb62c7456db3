#pragma once

#include <filesystem>
#include <string>

#include "cli/console.h"
#include "cli/play/live_environment.h"

namespace romanesca {

/// Where learned controls are kept.
[[nodiscard]] std::filesystem::path controls_file(const Console& console);

/// Asks for a foot switch or pad, and keeps what it is to do. Throws Failure for an action that is none, or without a
/// port; SystemError.
/// @param action "start-stop", "mute 2"
void learn_control(const std::string& action, const std::string& port, const std::string& system,
                   LiveEnvironment& environment, Console& console);

}  // namespace romanesca
