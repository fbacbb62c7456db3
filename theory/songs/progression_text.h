#pragma once

#include <string>
#include <string_view>

#include "theory/songs/progression.h"
#include "theory/text/errors.h"

namespace romanesca {

/// The longest text that is read, in bytes.
inline constexpr std::size_t longest_text = std::size_t{4} << 20;
/// Chords in a bar.
inline constexpr std::size_t most_chords_in_bar = 24;
/// Chords, holds and rests in a text, those of repeated bars counted again.
inline constexpr std::size_t most_chords_in_text = 200'000;

/// Reads a progression: header lines, [Sections], bars, comments, as demo/REFERENCE.md describes. A "tempo:" line right
/// under a section's heading is that section's own.
/// @param source what errors call the text: a file's name.
/// Refuses with a place: text that is not UTF-8, an empty progression, an unknown chord, mixed notations, a bar that
/// does not fill its meter, values out of range.
[[nodiscard]] Parsed<Progression> parse_progression(std::string_view text, const std::string& source);

}  // namespace romanesca
