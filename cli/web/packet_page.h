#pragma once

#include <span>
#include <string>

#include "cli/studio/packet.h"

namespace romanesca {

/// The packet as one HTML file that contains the player. Throws Failure (file_refused) if the program was built without
/// a compiler for WebAssembly.
[[nodiscard]] std::string packet_page(const Packet& packet);
/// The lesson page. @param text the progression to begin with @param levels their hand settings are used for the chart.
/// Throws Failure likewise.
[[nodiscard]] std::string lesson_page(const std::string& text, std::span<const Level> levels);

}  // namespace romanesca
