#pragma once

#include <string>

#include "cli/option_parser.h"
#include "cli/options.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// Throws Failure (wrong_input) for a stretch outside of narrowest_span to widest_span. @param option its name, for the
/// message.
void check_span(const std::string& option, int span);

/// Options of commands that show what hands play.
struct HandOptions {
  std::string voicing, left, bass;
  int span = 0, level = 0;
  bool loops = false;

  void add(OptionParser& parser);
  /// What was asked for; what was left open comes from the level, if one was given. Throws Failure for a word or number
  /// that is none.
  [[nodiscard]] HandSettings settings(const Console& console) const;
  /// What a student of the level is to do with the chart, a sentence; empty without a level.
  [[nodiscard]] std::string advice(const Console& console) const;
  /// The piece with the bass line that was asked for, read again where it changed.
  void lead_bass(Placement& placed) const;
};

}  // namespace romanesca
