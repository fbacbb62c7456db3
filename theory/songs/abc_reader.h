#pragma once

#include <string>
#include <string_view>

#include "theory/songs/song_reading.h"

namespace romanesca {

/// A text that begins with a tune in ABC: "X:" or "%abc" at its first line that is not blank or a comment.
[[nodiscard]] bool looks_like_abc(std::string_view text);

/// Reads the first tune of a text in ABC 2.1 (the open standard of that name; its sections are named in the code):
/// title, meter, key and tempo, notes, chord symbols, words, repeats and endings. Of chords that sound together the
/// highest note is kept, of several voices the first, of several verses the first. What is passed over is told. Takes
/// time in proportion to the text.
/// @param source what errors call the text: a file's name
/// Refuses with a place: signs that are no notes, a meter that songs here cannot have, a text without notes.
[[nodiscard]] Parsed<SongReading> read_abc(std::string_view text, const std::string& source);

}  // namespace romanesca
