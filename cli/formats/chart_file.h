#pragma once

#include <string>
#include <vector>

#include "cli/formats/paper/paper_settings.h"
#include "theory/analysis/placement.h"
#include "theory/tunes/tune.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// The endings of files that a chart can be written to.
[[nodiscard]] const std::vector<std::string>& chart_endings();

/// The most bars in a file that is drawn: about 1,000 pages.
inline constexpr int most_bars_on_paper = 20'000;
/// Throws Failure (wrong_input) for more of them in a file of such an ending; text and JSON take any number.
void check_bars_on_paper(int bars, const std::string& ending);

/// The content of a chart's file. @param ending one of chart_endings(); text and JSON take nothing but the advice, or
/// nothing, from the paper.
[[nodiscard]] std::string chart_in_format(const std::string& ending, const Placement& placed, const Hands& hands,
                                          const PaperSettings& paper);

/// A song's tune as it goes on a lead sheet.
struct LeadSheet {
  Tune tune;             ///< of the piece as placed
  std::string composer;  ///< empty for none
};
/// Whether a file of this ending can show a tune.
[[nodiscard]] bool can_show_tune(const std::string& ending);
/// The content of a lead sheet's file. @param ending one that can show a tune
[[nodiscard]] std::string lead_sheet_in_format(const std::string& ending, const Placement& placed,
                                               const LeadSheet& sheet, const Hands& hands, const PaperSettings& paper);

}  // namespace romanesca
