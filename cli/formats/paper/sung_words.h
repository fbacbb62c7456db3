#pragma once

#include <vector>

#include "cli/formats/engraving/system_engraver.h"
#include "cli/formats/paper/lead_sheet_bars.h"

namespace romanesca {

/// How far the syllables of a bar reach to both sides of their notes, for the spacing. Words stand in the middle under
/// their note; a syllable that is sung on over more notes begins under the first (Gould, "Behind Bars", the chapter on
/// vocal music; from memory). @param size of the words in points @param space of the staff
[[nodiscard]] std::vector<StaffLabel> syllable_labels(const TuneBar& bar, double size, double space);

/// Sets the words of a line under its highest staff, with hyphens inside words and lines after words that are held.
/// @param bars of the line, in the engraver's order @param x of the staves' left end @param size of the words in points
void put_sung_words(std::vector<Mark>& marks, const SystemEngraver& engraver, const std::vector<TuneBar>& bars,
                    double x, double baseline, double size, double space);

}  // namespace romanesca
