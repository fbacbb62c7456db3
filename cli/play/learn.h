#pragma once

#include <filesystem>
#include <string>

#include "cli/console.h"
#include "cli/play/play_world.h"

namespace romanesca {

/// Where learned controls are kept.
[[nodiscard]] std::filesystem::path controls_file(const Console& console);

/// Asks for a foot switch or pad, and keeps what it is to do. Throws Failure for an action that is none, or without a
/// port; PortError.
/// @param action "start-stop", "mute 2"
void learn_control(const std::string& action, const std::string& port, const std::string& system, PlayWorld& world,
                   Console& console);

}  // namespace romanesca
