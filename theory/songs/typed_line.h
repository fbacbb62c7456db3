#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "theory/songs/chord_names.h"

namespace romanesca {

/// A piece of a line of chords as people type it.
struct LineItem {
  enum class Kind {
    chord,
    no_chord,      ///< "N.C.", "tacet"
    hold,          ///< "/", @ref number of them
    dash,          ///< "-" or "." standing alone: a beat that is held, or only a mark between chords
    separator,     ///< "," "→"
    bar_line,      ///< "|", "||"
    repeat_open,   ///< "|:"
    repeat_close,  ///< ":|"
    ending,        ///< "1.", "[2": number
    repeat_bar,    ///< "%", "./."
    times,         ///< "x2", "(twice)": number; for the chords since the last one of these
    bars,          ///< "(2 bars)": number; for the chord before
    group_open,    ///< "(" around several chords
    group_close,
    remark,  ///< "(softly)", a word in quotation marks
    word     ///< nothing of these
  };
  Kind kind = Kind::word;
  std::size_t at = 0;      ///< byte in the line
  std::size_t length = 0;  ///< bytes
  int number = 0;
  Symbol symbol{};  ///< of a chord
};

/// A line of a song as items, in order, and what they are together.
struct TypedLine {
  std::vector<LineItem> items;
  std::size_t chords = 0;  ///< chords, bars that repeat, and rests
  std::size_t words = 0;
  bool barred = false;     ///< has a bar line
  bool bracketed = false;  ///< every chord stands alone in brackets: "(C)words"

  /// Chords and what belongs to them, and no other word.
  [[nodiscard]] bool is_chords() const { return chords > 0 && words == 0; }
};

/// Reads a line whose chords are written in this habit. Takes time in proportion to the line.
[[nodiscard]] TypedLine read_typed_line(std::string_view line, const ChordHabit& habit);

/// A number of times or bars: "x2", "2x", "(x 4)", "twice", "3 times", "for 4 bars". Nothing else may stand there.
struct Count {
  int number = 1;
  bool bars = false;  ///< bars, not times
};
/// @param text folded, without brackets. A number over 999 is given as 1000.
[[nodiscard]] std::optional<Count> read_count(std::string_view text);

}  // namespace romanesca
