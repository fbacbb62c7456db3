#include "cli/formats/analysis_text.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "cli/formats/chart_grid.h"
#include "cli/formats/wrapped_text.h"
#include "theory/analysis/regions.h"
#include "theory/chords/numeral_text.h"
#include "theory/text/characters.h"

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

/// How many bars there are where fewer stand on paper.
std::string bars_line(const Progression& progression) {
  const PrintedForm form = printed_form(progression);
  if (form.bars() == form.bars_played) return {};
  return fmt::format("{} bars as played, {} on paper; bars are counted as played\n", form.bars_played, form.bars());
}

/// The keys in order where there are several: "Keys: C major; from bar 17 Db major (by step)".
std::string regions_line(const Analysis& analysis) {
  const std::vector<KeyRegion> regions = key_regions(analysis);
  if (regions.size() < 2) return {};
  std::string line = "Keys: " + to_string(regions.front().key);
  for (std::size_t i = 1; i < regions.size(); ++i) {
    line += fmt::format("; from bar {} {} ({})", regions[i].bar, to_string(regions[i].key), in_words(regions[i].by));
  }
  return line;
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

/// Each idea with the command that plays it, which is not wrapped: it is to be copied.
std::string ideas_text(const AnalysisReport& report, int width) {
  std::string text;
  for (const Idea& idea : report.ideas) {
    if (text.empty()) text = fmt::format("\nTo try next (level {})\n", report.level);
    std::string place = idea.bar == 0 ? "New" : bars_text(idea.bar, idea.bars);
    place.front() = capital(place.front());
    text += wrapped("  - ", fmt::format("{}: {}  {}", place, idea.progression, idea.text), width);
    text += "      " + command_to_hear(idea, report.progression) + "\n";
  }
  return text;
}

}  // namespace

std::string analysis_text(const AnalysisReport& answer, int width) {
  const Progression& progression = answer.progression;
  std::string text = progression.title.empty() ? "" : progression.title + "\n";
  text += key_line(progression, answer.analysis.keys);
  const std::string regions = regions_line(answer.analysis);
  if (!regions.empty()) text += wrapped("", regions, width);
  text += bars_line(progression) + "\n" + chart_grid(progression, answer.analysis, width);
  for (const PatternMatch& match : answer.patterns) {
    if (&match == &answer.patterns.front()) text += "\nKnown patterns\n";
    text += fmt::format("  - {}: {}", bars_text(match.bar, match.bars), match.id);
    text += match.instead.empty() ? "\n" : fmt::format(", with {}\n", fmt::join(match.instead, ", "));
  }
  text += remarks_text("What to hear", answer.remarks, false, width);
  text += remarks_text("Worth a second look", answer.remarks, true, width);
  text += ideas_text(answer, width);
  return text;
}

std::string next_text(const AnalysisReport& answer, int width) {
  std::string text = key_line(answer.progression, answer.analysis.keys);
  const auto& chords = answer.analysis.chords;
  const auto last = std::find_if(chords.rbegin(), chords.rend(),
                                 [](const AnalysedChord& each) { return each.timed.chord.has_value(); });
  if (last == chords.rend()) return text + "\nThere is no chord yet to go on from.\n";
  text += fmt::format("\nAfter {} could come (seldom: a surprise)\n", to_string(*last->timed.chord));
  for (const Continuation& next : answer.next) {
    text +=
        wrapped(fmt::format("  {:10} {:6} {:7}", how_usual(next.share), to_string(next.chord), to_string(next.numeral)),
                next.reason, width);
  }
  return text;
}

}  // namespace romanesca
