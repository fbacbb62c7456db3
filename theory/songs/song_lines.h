#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "theory/songs/chord_names.h"

namespace romanesca {

/// A line of a typed song, without what only decorates it. Every byte stands where it stood in the line as written, so
/// that a place in it is a place there.
struct SongLine {
  int number = 0;           ///< from 1
  std::string_view raw;     ///< as written, without its line end
  std::string text;         ///< marks of quoting, lists, bold type, pictures and bar numbers are blanks
  std::string comment;      ///< from "#" on
  bool title_mark = false;  ///< began with one "#"
  bool blank = false;
  bool table_rule = false;  ///< "|---|---|"
  bool was_quoted = false;  ///< began with ">", as an answered letter
};

/// The lines of a text; all line ends are read. The text has to live on.
[[nodiscard]] std::vector<SongLine> song_lines(std::string_view text);

/// How the chords of these lines are written, as most of them show it. @param stated the names that were stated
struct HabitFound {
  ChordHabit habit;
  bool b_is_open = false;  ///< German names without an H: B is B flat, and nothing but the setting says so
  int shown_by_line = 0;   ///< where it can be seen; 0 for nowhere
  std::string shown_by;    ///< "H7"
};
/// "A" for "[A]"; any other text without blanks around it.
[[nodiscard]] std::string_view without_brackets(std::string_view text);

/// @param stated the names that the text or the user states for it @param usual where the text shows none
[[nodiscard]] HabitFound habit_of(const std::vector<SongLine>& lines, std::optional<NoteNames> stated,
                                  NoteNames usual = NoteNames::english);

/// The lines that are only a letter and name a part of the song, "A", "B2": by their indices. A letter over a line of
/// chords is one where the first of them is an A and the others follow in the order of the alphabet.
[[nodiscard]] std::map<std::size_t, std::string> letter_parts(const std::vector<SongLine>& lines,
                                                              const ChordHabit& habit);

}  // namespace romanesca
