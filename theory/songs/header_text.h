#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "theory/songs/progression.h"
#include "theory/text/errors.h"

namespace romanesca {

/// "name: value" at the start of a text: title, key, tempo, meter, style.
struct HeaderLine {
  std::string_view name;
  std::string_view value;
};

/// The line as a header line, or nothing: a word, a colon, and no bar line before it.
[[nodiscard]] std::optional<HeaderLine> split_header(std::string_view line);

/// Puts the value into the progression. @return what is wrong, or nothing: without a line; the column is 1 where the
/// name is wrong, 0 where the value is.
[[nodiscard]] std::optional<TextError> apply_header(const HeaderLine& line, Progression& progression);

/// The header lines of a progression, each ending in a line break; empty without any.
[[nodiscard]] std::string write_header(const Progression& progression);

/// "key: Eb minor", with a line break.
[[nodiscard]] std::string write_key_line(const KeyText& key, NoteNames names);

/// A tempo as typed, in beats a minute, slowest_bpm to fastest_bpm; an error without a place otherwise.
[[nodiscard]] Parsed<double> parse_tempo(std::string_view text);
/// The error, without a place, for a key that cannot be read: the hint knows a German H and keys without a signature.
[[nodiscard]] TextError key_error(std::string_view text);
/// The key, if it can be read and has a signature of at most seven accidentals in its mode (in any mode if open).
[[nodiscard]] std::optional<KeyText> parse_written_key(std::string_view text);

}  // namespace romanesca
