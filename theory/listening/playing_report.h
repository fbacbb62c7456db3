#pragma once

#include <span>
#include <string>
#include <vector>

#include "theory/listening/chord_listener.h"

namespace romanesca {

/// How far from its time an attack may be and still be in time, in milliseconds: some three times what listeners notice
/// between two onsets (20 to 30 ms; from memory), for students.
inline constexpr double in_time_ms = 80;

/// A few words on one chord, for the screen: "Dm instead of F, a little late".
[[nodiscard]] std::string describe(const ChordHeard& heard, bool timing_matters = true);

/// What went well, then one thing to work on, with the bars; in short sentences, never a grade.
struct PlayingReport {
  std::vector<std::string> went_well;
  std::string work_on;  ///< empty if there is nothing in particular
  [[nodiscard]] std::vector<std::string> sentences() const;
};

/// @param timing_matters false where the band waited for the student
[[nodiscard]] PlayingReport report_on(std::span<const ChordHeard> heard, bool timing_matters = true);

}  // namespace romanesca
