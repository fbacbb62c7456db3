#pragma once

#include <vector>

#include "cli/formats/engraving/system_engraver.h"
#include "cli/formats/paper/lead_sheet_bars.h"

namespace romanesca {

/// How far the syllables of a bar reach to both sides of their notes, for the spacing. Words stand in the middle under
/// their note; a syllable that is sung on over more notes begins under the first (Gould, "Behind Bars", the chapter on
/// vocal music; from memory). @param size of the words in points @param space of the staff
/// @return for each verse its syllables
[[nodiscard]] std::vector<std::vector<StaffLabel>> syllable_labels(const TuneBar& bar, double size, double space);

/// How many verses have words in these bars: up to the last that has any.
[[nodiscard]] std::size_t verses_in(const std::vector<TuneBar>& bars);

/// From the baseline of a verse to that of the next one. @param size of the words in points
[[nodiscard]] double verse_distance(double size);

/// Sets the words of a line under its highest staff, with hyphens inside words and lines after words that are held.
/// Several verses stand under each other, each with its number before the first note (Gould, ibid.; from memory).
/// @param bars of the line, in the engraver's order @param x of the staves' left end @param baseline of the first verse
/// @param size of the words in points
void put_sung_words(std::vector<Mark>& marks, const SystemEngraver& engraver, const std::vector<TuneBar>& bars,
                    double x, double baseline, double size, double space);

}  // namespace romanesca
