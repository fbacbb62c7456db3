#include "cli/chart_file.h"

#include "cli/chart_json.h"
#include "cli/chart_musicxml.h"
#include "cli/chart_text.h"
#include "cli/page/paint.h"

namespace romanesca {

const std::vector<std::string>& chart_endings() {
  static const std::vector<std::string> endings{"pdf", "svg", "png", "musicxml", "xml", "txt", "json"};
  return endings;
}

std::string chart_in_format(const std::string& ending, const PlacedProgression& placed, const Hands& hands,
                            const PaperSettings& paper) {
  constexpr int columns = 80;
  if (ending == "txt") return chart_text(placed, hands, paper.advice, columns);
  if (ending == "json") return chart_json(placed.progression, placed.analysis, hands);
  if (ending == "musicxml" || ending == "xml") return chart_musicxml(placed, hands);
  return painted(chart_drawing(placed, hands, paper), ending);
}

}  // namespace romanesca
