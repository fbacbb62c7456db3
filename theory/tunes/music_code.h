#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "theory/notes/meter.h"

namespace romanesca {

/// A sign in a line of notes.
struct MusicSign {
  enum class Kind {
    note,
    rest,
    bar_rest,      ///< rests for whole bars: number
    bar_line,      ///< with repeats and endings
    chord_symbol,  ///< "G7" in quotation marks: text
    field          ///< "[K:G]": text without brackets
  };
  Kind kind = Kind::note;
  std::size_t at = 0;      ///< byte in the line
  std::size_t length = 0;  ///< bytes
  Beats duration{};        ///< quarter notes, of a note or rest
  int letter = 0;          ///< 0 to 6 for C to B
  int octave = 4;
  std::optional<int> accidental{};  ///< written before it: sharps (positive) or flats
  bool tied = false;                ///< a tie after it
  int number = 0;
  std::string text{};
  // Of a bar line.
  bool opens = false;       ///< "|:"
  bool closes = false;      ///< ":|"
  bool double_bar = false;  ///< "||", "|]"
  int ending = 0;           ///< the first pass of an ending that begins here; 0 for none
  int ending_to = 0;        ///< its last pass
};

/// What is wrong in a line of notes.
struct MusicFault {
  std::size_t at = 0;      ///< byte in the line
  std::size_t length = 1;  ///< bytes
  std::string message;
  std::string hint;
};

/// A line of notes as signs in order, as far as it could be read.
struct MusicCode {
  std::vector<MusicSign> signs;
  std::optional<MusicFault> fault;
};

/// How a line of notes is read.
struct MusicCodeSettings {
  Beats unit{1, 2};  ///< what a letter alone lasts, in quarter notes
  Meter meter{};     ///< for the time of tuplets
  /// What stands around notes in ABC tunes is passed over: ornaments, slurs, grace notes, annotations. Otherwise only
  /// slurs are, and the rest is a fault.
  bool with_ornaments = false;
};

/// Notes of at most this many different lengths in a quarter: shorter ones, and odder ones, are refused.
inline constexpr std::int64_t most_parts_of_quarter = 4096;

/// Reads notes as ABC 2.1 writes them (the standard's sections are named in music_code.cpp): "C D E2 F/ G>A (3GAB z2
/// |". Takes time in proportion to the line. The highest note of "[CEG]" is kept. An "L:" field changes the unit in the
/// rest of the line.
[[nodiscard]] MusicCode read_music_code(std::string_view line, const MusicCodeSettings& settings);

/// "1/8" as what a letter alone lasts; nothing for another text. @return quarter notes
[[nodiscard]] std::optional<Beats> parse_unit_length(std::string_view text);

/// A length in the signs of ABC 2.1, section 4.3, after a letter: "", "2", "/", "3/2". @param units of what a letter
/// alone lasts
[[nodiscard]] std::string length_text(Beats units);

}  // namespace romanesca
