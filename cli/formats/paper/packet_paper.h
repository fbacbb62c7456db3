#pragma once

#include <string>

#include "cli/formats/paper/chart_drawing.h"
#include "cli/studio/packet.h"

namespace romanesca {

/// The packet on paper: a PDF file.
[[nodiscard]] std::string packet_pdf(const Packet& packet, const PaperSettings& paper);

}  // namespace romanesca
