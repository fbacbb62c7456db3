#pragma once

#include <string>
#include <string_view>

namespace romanesca {

/// The text with its flats and sharps as signs: "Bb7#11" becomes "B♭7♯11". Only what reads as a note, chord, numeral or
/// degree is changed, so words and file names stay; every sign takes the column of its letter, so that tables stay
/// aligned. For terminals: JSON, and what is read again, keep ASCII.
[[nodiscard]] std::string with_accidental_signs(std::string_view text);

/// Whether the locale's character set is UTF-8, by the variables that POSIX names, the first that is set of LC_ALL,
/// LC_CTYPE and LANG.
[[nodiscard]] bool locale_is_utf8();

}  // namespace romanesca
