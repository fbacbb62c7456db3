#pragma once

#include <string>
#include <vector>

#include "cli/formats/engraving/staff_content.h"
#include "theory/notes/meter_map.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// A syllable under the note that it is sung from.
struct SungSyllable {
  std::string text;
  SyllableEnd end = SyllableEnd::word;
  std::size_t event = 0;  ///< of its bar's events: where it begins
  bool goes_on = false;   ///< sung over more notes than that one
};

/// A bar of a tune as it stands on a staff, with its words.
struct TuneBar {
  std::vector<StaffEvent> events;
  std::vector<std::vector<SungSyllable>> verses{1};  ///< for each verse of the tune, one at least, its words in order
  /// For each event the note of the tune that sounds; one past the last note for a rest.
  std::vector<std::size_t> notes;
  Beats begins;  ///< more than 0 in an upbeat
};

/// @param bar as played, from 1; 0 for the upbeat
/// @param first_of_line ties from the bar before are drawn from the line's beginning
[[nodiscard]] TuneBar tune_bar(const Tune& tune, const MeterMap& meters, int bar, bool first_of_line);

}  // namespace romanesca
