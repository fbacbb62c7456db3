#include "cli/analysis_text.h"

#include <fmt/format.h>

#include <cmath>

#include "cli/chart_grid.h"
#include "cli/wrapped_text.h"

namespace romanesca {
namespace {

bool needs_a_look(const Remark& remark) { return remark.kind == "slip" || remark.kind == "spelling"; }

std::string key_line(const Progression& progression, const KeyReading& keys) {
  std::string line = "Key: " + to_string(keys.main.key);
  if (progression.notation == Notation::absolute && !progression.key) {
    line += fmt::format(" ({:.0f} % sure)", std::floor(keys.main.confidence * 100));
  }
  return line + "\n";
}

std::string bars_text(int first, int count) {
  return count == 1 ? fmt::format("bar {}", first) : fmt::format("bars {} to {}", first, first + count - 1);
}

std::string remarks_text(const std::string& heading, const std::vector<Remark>& remarks, bool looks, int width) {
  std::string text;
  for (const Remark& remark : remarks) {
    if (needs_a_look(remark) != looks) continue;
    if (text.empty()) text = "\n" + heading + "\n";
    text += wrapped("  - ", remark.bar > 0 ? fmt::format("Bar {}: {}", remark.bar, remark.text) : remark.text, width);
  }
  return text;
}

}  // namespace

std::string analysis_text(const Progression& progression, const Analysis& analysis,
                          const std::vector<PatternMatch>& patterns, const std::vector<Remark>& remarks, int width) {
  std::string text = progression.title.empty() ? "" : progression.title + "\n";
  text += key_line(progression, analysis.keys) + "\n" + chart_grid(progression, analysis, width);
  for (std::size_t i = 0; i < patterns.size(); ++i) {
    if (i == 0) text += "\nKnown patterns\n";
    text += fmt::format("  - {}: {}", bars_text(patterns[i].bar, patterns[i].bars), patterns[i].id);
    text += patterns[i].instead.empty() ? "\n" : fmt::format(", with {}\n", fmt::join(patterns[i].instead, ", "));
  }
  text += remarks_text("What to hear", remarks, false, width);
  text += remarks_text("Worth a second look", remarks, true, width);
  return text;
}

}  // namespace romanesca
