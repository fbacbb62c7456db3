#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "theory/songs/progression.h"

namespace romanesca {

/// "name: value" at the start of a text: title, key, tempo, meter, style.
struct HeaderLine {
  std::string_view name;
  std::string_view value;
};

/// The line as a header line, or nothing: a word, a colon, and no bar line before it.
[[nodiscard]] std::optional<HeaderLine> split_header(std::string_view line);

/// Puts the value into the progression. @return what is wrong with it (without a place), or nothing.
/// in_name tells whether the name or the value is to blame.
struct HeaderFault {
  std::string message;
  std::string hint;
  bool in_name = false;
};
[[nodiscard]] std::optional<HeaderFault> apply_header(const HeaderLine& line, Progression& progression);

/// The header lines of a progression, each ending in a line break; empty without any.
[[nodiscard]] std::string write_header(const Progression& progression);

/// A tempo as typed, within slowest_bpm and fastest_bpm; a fault otherwise.
struct TempoText {
  double bpm = 0;
  std::optional<HeaderFault> fault;
};
[[nodiscard]] TempoText parse_tempo(std::string_view text);
/// What to say when a key cannot be read: the hint knows a German H and keys without a signature.
[[nodiscard]] HeaderFault key_fault(std::string_view text);
/// The key, if it can be read and has a signature of at most seven accidentals in its mode (in any mode if open).
[[nodiscard]] std::optional<KeyText> parse_written_key(std::string_view text);

}  // namespace romanesca
