#include "cli/formats/chart_file.h"

#include <fmt/format.h>

#include "cli/formats/chart_musicxml.h"
#include "cli/formats/chart_text.h"
#include "cli/formats/chords_json.h"
#include "cli/formats/paper/chart_drawing.h"
#include "cli/formats/paper/lead_sheet.h"
#include "cli/formats/paper/paint.h"
#include "theory/text/errors.h"

namespace romanesca {

const std::vector<std::string>& chart_endings() {
  static const std::vector<std::string> endings{"pdf", "svg", "png", "musicxml", "xml", "txt", "json"};
  return endings;
}

void check_bars_on_paper(int bars, const std::string& ending) {
  const bool drawn = ending == "pdf" || ending == "svg" || ending == "png";
  if (!drawn || bars <= most_bars_on_paper) return;
  throw Failure(ExitStatus::wrong_input, fmt::format("that would be {} bars on paper", bars),
                fmt::format("up to {} can be drawn; chart a part of it, or write .txt", most_bars_on_paper));
}

std::string chart_in_format(const std::string& ending, const Placement& placed, const Hands& hands,
                            const PaperSettings& paper) {
  constexpr int columns = 80;
  if (ending == "txt") return chart_text(placed, hands, paper.advice, columns);
  if (ending == "json") return chart_json(placed.progression, placed.analysis, hands).text();
  if (ending == "musicxml" || ending == "xml") return chart_musicxml(placed, hands);
  return painted(chart_drawing(placed, hands, paper), ending);
}

bool can_show_tune(const std::string& ending) {
  return ending == "pdf" || ending == "svg" || ending == "png" || ending == "musicxml" || ending == "xml";
}

std::string lead_sheet_in_format(const std::string& ending, const Placement& placed, const LeadSheet& sheet,
                                 const Hands& hands, const PaperSettings& paper) {
  if (ending == "musicxml" || ending == "xml") {
    return lead_sheet_musicxml(placed, sheet.tune, hands, sheet.composer, paper.staves == StaffKind::tune_and_left);
  }
  return painted(lead_sheet_drawing(placed, sheet.tune, hands, paper, sheet.composer), ending);
}

}  // namespace romanesca
