#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/formats/paper/paper_settings.h"
#include "theory/analysis/placement.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// A chord in its bar, as it is printed.
struct ChartChord {
  std::size_t index = 0;  ///< of the timeline
  double share = 0;       ///< where it begins, as a share of the bar
  bool held = false;      ///< goes on from the bar before
  bool open = false;      ///< to be found by the reader
  std::string numeral;    ///< empty for N.C. and what is held
  std::string key;        ///< "F:" where the numeral is read in another key than the one before; else empty
  std::string words;      ///< that are sung from it on
};

/// A bar with the signs of the form around it.
struct ChartBar {
  int played = 1;  ///< of the song as played: where it is played first
  int number = 1;  ///< that is printed, and that the pictures of hands name
  std::vector<ChartChord> chords;
  bool begins_section = false;
  std::string section, remark;  ///< of the section that begins: "Verse", "twice"
  bool start_repeat = false;
  int end_repeat = 0;          ///< how often the part is played that ends here; 0 for no repeat
  std::string ending;          ///< "1." where its bracket begins
  bool in_ending = false;      ///< under a bracket
  bool ending_closes = false;  ///< the bracket ends here with a hook
  bool section_ends = false, last = false;
  bool simile = false;               ///< the same as the bar before, shown by its sign
  bool recall = false;               ///< no bar: a section that is played as one before, by its name
  bool segno = false, coda = false;  ///< the sign before it
  std::string after;                 ///< "3 times", "Fine", "To Coda", "D.S. al Coda" over its end
  bool doubtful = false;             ///< a comment of the song says that it may be wrong: "?" over it
  std::optional<Key> key;            ///< a new key begins
  std::optional<Meter> meter;        ///< a new meter begins
  std::optional<double> tempo_bpm;   ///< a new tempo begins
};

/// A line of bars: up to four, or as many as fit, from one section and in one key. The first bar of a second ending
/// stands under the first of the first one.
struct ChartRow {
  std::size_t first = 0, count = 0;  ///< bars of the chart
  std::size_t column = 0;            ///< of its first bar
};

/// The bars of a piece as they stand on paper, with the signs of its form; sections that are recalled by name are one
/// item each.
[[nodiscard]] std::vector<ChartBar> chart_bars(const Placement& placed, const Hands& hands, const PaperSettings& paper);

/// For each bar as played, from 0, the number of the printed bar that stands for it; 0 for none.
[[nodiscard]] std::vector<int> printed_numbers(const std::vector<ChartBar>& bars, std::size_t played);

/// The key that counts on a staff at a bar, from 0: the one that was written last, or that was heard.
[[nodiscard]] Key key_at(const std::vector<ChartBar>& bars, std::size_t bar, const Placement& placed);

/// @param in_row the most bars in a line
[[nodiscard]] std::vector<ChartRow> chart_rows(const std::vector<ChartBar>& bars, std::size_t in_row);

/// "F:", "Dm:": how a key is named before a numeral.
[[nodiscard]] std::string key_before_numeral(const Key& key);

}  // namespace romanesca
