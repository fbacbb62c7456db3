#pragma once

#include <string>
#include <string_view>

#include "theory/songs/song_form.h"
#include "theory/songs/typed_line.h"

namespace romanesca {

// What a line of a typed song is, beside chords, headings and facts.

/// What the form says at the end of a line, or as the line: "D.C. al Fine", "Fine", "To Coda", "Segno".
struct FormMarks {
  Jump jump = Jump::none;
  bool fine = false, to_coda = false, segno = false;
};
/// Takes them out of the line: blanks stand there then.
[[nodiscard]] FormMarks take_form_marks(std::string& text);

/// A tab, the diagram of a shape ("x32010", "G 320003"), or a pattern of strokes.
[[nodiscard]] bool is_for_guitar(std::string_view text);

/// Begins or ends a letter, or is a sentence of one.
[[nodiscard]] bool is_letter_text(std::string_view text);

/// How the song is played: "slow", "moderately fast".
[[nodiscard]] bool is_character(std::string_view text);

/// The first token that is no chord in a line that was meant to be chords: one with a digit or sign among chords, or a
/// few words among many chords. Nothing for a line of words. @param text the line that the items were read from
[[nodiscard]] const LineItem* slip_among_chords(std::string_view text, const TypedLine& typed);

}  // namespace romanesca
