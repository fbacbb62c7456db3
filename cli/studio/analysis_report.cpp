#include "cli/studio/analysis_report.h"

#include <fmt/format.h>

#include <algorithm>

namespace romanesca {

AnalysisReport report_on(const Progression& progression, const Analysis& analysis, int level,
                         std::span<const Level> levels, CadenceTerms terms) {
  AnalysisReport report{progression, analysis, match_patterns(analysis), remarks_on(analysis, terms), level, {}, {}};
  if (level == 0) report.level = level_of(analysis, levels);
  report.ideas =
      ideas_for(analysis, levels[static_cast<std::size_t>(report.level) - 1], progression.title, progression.style);
  return report;
}

std::string command_to_hear(const Idea& idea, const Progression& song) {
  const Meter meter = song.meter();
  // A header line inside the quotes: the text is one that the program reads.
  std::string command = "romanesca play ";
  command += meter == Meter{} ? fmt::format("\"{}\"", idea.progression)
                              : fmt::format("$'meter: {}\\n{}'", to_string(meter), idea.progression);
  const bool plain_word = std::all_of(song.style.begin(), song.style.end(), [](unsigned char c) {
    return c == '-' || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
  });
  if (!song.style.empty() && plain_word) command += " --style " + song.style;
  if (song.tempo_bpm) command += fmt::format(" --tempo {}", *song.tempo_bpm);
  return command;
}

}  // namespace romanesca
