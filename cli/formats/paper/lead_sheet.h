#pragma once

#include <string>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/paper/paper_settings.h"
#include "theory/analysis/placement.h"
#include "theory/tunes/tune.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// A song with its tune on paper: title and composer, the melody with chord symbols over it and words under it, and
/// with StaffKind::tune_and_left the left hand on a second staff.
/// @param tune of the piece as placed, as tune_on_paper gives it @param hands of its chords; their left hand is printed
/// @param composer of the tune; may be empty
[[nodiscard]] Drawing lead_sheet_drawing(const Placement& placed, const Tune& tune, const Hands& hands,
                                         const PaperSettings& paper, const std::string& composer);

}  // namespace romanesca
