#pragma once

#include <string>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/paper/paper_settings.h"
#include "cli/studio/packet.h"

namespace romanesca {

/// The packet on paper, on as few pages as it needs: greeting, days to tick, chart or exercise, and hands.
[[nodiscard]] Drawing packet_drawing(const Packet& packet, const PaperSettings& paper);

/// The same as a PDF file.
[[nodiscard]] std::string packet_pdf(const Packet& packet, const PaperSettings& paper);

}  // namespace romanesca
