#pragma once

#include <string>

#include "cli/formats/chords_json.h"
#include "theory/harmony/harmoniser.h"

namespace romanesca {

/// Chords for a tune, as they are shown.
struct HarmonyReport {
  std::string title;  ///< of the tune; may be empty
  const Tune* tune = nullptr;
  MeterMap meters;
  int level = 0;  ///< 1 to 8
  Harmonisation harmony;
  /// The long notes outside the chords that the song had; empty where it had none, or where all is well.
  std::vector<OutsideNote> outside;
  bool had_chords = false;  ///< the song had chords before
  int bars_before = 0;      ///< of what was played, before bar 1; JSON counts them, as the file's own bars
};

/// "A" for the first choice.
[[nodiscard]] std::string choice_letter(std::size_t index);

/// The tune's bars with the chords of each choice under them, a star where a long note rubs; then each choice with its
/// reason, and what to do about the notes that rub. @param width of a line in columns
[[nodiscard]] std::string harmony_text(const HarmonyReport& report, int width);

/// The output of harmonise --json.
[[nodiscard]] OrderedJson harmony_json(const HarmonyReport& report);

}  // namespace romanesca
