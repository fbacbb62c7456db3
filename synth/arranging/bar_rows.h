#pragma once

#include <string>
#include <vector>

#include "synth/arranging/groove.h"
#include "synth/arranging/song_form.h"
#include "synth/arranging/style.h"

namespace romanesca {

/// A row of a grid as a part plays it in one bar.
struct BarRow {
  int drum = 0;       ///< General MIDI percussion key; 0 for a pitched part
  std::string signs;  ///< one bar of the style, without "?"
};

/// What a part plays in each bar of the piece. Which of its ways a row takes depends on the seed and on the bar's place
/// in the piece and in its section: on the first bar of a phrase of four the usual one more often, and three times in
/// four another than four bars before. Of the strokes "?" half are played, fewer in soft sections and more in full
/// ones. @param part_number its place among the parts, so that parts choose independently
[[nodiscard]] std::vector<std::vector<BarRow>> rows_of_bars(const StylePart& part, const Style& style,
                                                            const Score& score, std::uint32_t seed,
                                                            std::uint32_t part_number);

/// A row for a chord shorter than a bar, chosen likewise. @param place tells one such chord from another
[[nodiscard]] std::string brief_row(const StyleRow& row, const Style& style, std::uint32_t seed, std::uint32_t place);

/// The fill that the drums play at the end of each bar; null for none. Before a new section as the form says: longer
/// ones before a louder section; at the end of other phrases of four bars often a beat or two. No fill follows itself
/// where there is another.
[[nodiscard]] std::vector<const DrumFill*> fills_of_bars(const StylePart& part, const Style& style, const Score& score,
                                                         std::uint32_t seed);

}  // namespace romanesca
