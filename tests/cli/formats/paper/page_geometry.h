#pragma once

#include <functional>
#include <string>
#include <vector>

#include "cli/formats/engraving/marks.h"

namespace romanesca {

/// What is wrong with a page: marks that touch or come too near to each other, and marks outside of the margins. Music
/// signs, beams and ties are measured by their exact outlines, texts by the box of their ink.
[[nodiscard]] std::vector<std::string> page_faults(const Page& page);

}  // namespace romanesca
