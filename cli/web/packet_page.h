#pragma once

#include <span>
#include <string>

#include "cli/studio/packet.h"

namespace romanesca {

/// The packet as one HTML file with the program inside. Throws Failure where the program was built without a compiler
/// for WebAssembly.
[[nodiscard]] std::string packet_page(const Packet& packet);
/// The lesson page. @param levels the teacher's own, for the hands of its chart. Throws Failure likewise.
[[nodiscard]] std::string lesson_page(const std::string& text, std::span<const Level> levels);

}  // namespace romanesca
