#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "theory/songs/song_form.h"
#include "theory/songs/typed_line.h"
#include "theory/text/errors.h"

namespace romanesca {

/// A chord of any notation as the content of a slot.
[[nodiscard]] std::variant<Chord, Numeral, NoChord, Hold> as_content(const Symbol& symbol);

/// What a row needs to know of the lines before it.
struct RowSettings {
  Meter meter;
  int line = 0;                       ///< its number
  std::string_view raw;               ///< as written, for places
  const std::vector<Slot>& last_bar;  ///< for "%"; empty for none
  bool inside_repeat = false;         ///< that an earlier line opened
};

/// A line of chords as bars.
struct RowReading {
  WrittenRow row;
  std::vector<std::string> remarks;  ///< left out
  std::vector<std::string> decisions;
  std::optional<TextError> fault;  ///< without a source
};

/// Without bar lines each chord fills a bar. "x2" repeats what stands before it in the line, "(2 bars)" the chord
/// before it. @param text the line that the items were read from
[[nodiscard]] RowReading read_song_row(const TypedLine& typed, std::string_view text, const RowSettings& settings);

/// The words parted where the chords stand, in columns as a reader sees them (a tab goes to the next multiple of 8):
/// before the first chord, then from each chord on.
[[nodiscard]] std::vector<std::string> words_at_chords(const TypedLine& chords, std::string_view chord_line,
                                                       std::string_view words);

}  // namespace romanesca
