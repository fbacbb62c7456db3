#pragma once

#include <string>
#include <vector>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/paper/paper_settings.h"
#include "cli/formats/paper/paper_words.h"
#include "theory/analysis/placement.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// A chart on pages: the head; the bars in rows of four under their sections, or as music on staves, each chord with
/// its numeral and words; then a keyboard for each different way that the hands play a chord, with its bars. No row is
/// split; pages are numbered.
[[nodiscard]] Drawing chart_drawing(const Placement& placed, const Hands& hands, const PaperSettings& paper);

/// Key, meter, tempo and manner of a piece, for the head of a page: "Eb major" with its sign, "4/4", the metronome
/// mark.
[[nodiscard]] std::vector<std::string> chart_facts(const Progression& progression, const Key& key,
                                                   const PaperWords& words = english_words);

/// All chords in words, section by section, for those who cannot see the page.
[[nodiscard]] std::string chart_in_words(const Placement& placed, const PaperSettings& paper);

}  // namespace romanesca
