#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "theory/songs/progression.h"

namespace romanesca {

/// One chord of any notation as written.
using Symbol = std::variant<Chord, Numeral>;

/// The token in ASCII: flat, sharp and natural signs, dashes and the minus sign of Unicode become b, # and -. The
/// degree sign, the stroked o and the triangle stay, the suffix reader knows them.
[[nodiscard]] std::string plain_symbol(std::string_view token);

/// Reads a token as a chord symbol, else as a Roman numeral, else as a number. Nothing if it is none of them.
[[nodiscard]] std::optional<Symbol> parse_symbol(std::string_view token);

/// "N.C.", "NC", "N.C": nothing sounds.
[[nodiscard]] bool is_no_chord(std::string_view token);

[[nodiscard]] Notation notation_of(const Symbol& symbol);
[[nodiscard]] std::string to_string(const Symbol& symbol);
/// "a chord symbol", "a Roman numeral", "a number".
[[nodiscard]] std::string_view to_string(Notation notation);

/// What the writer of an unreadable token may have meant: one letter more, less or other, or two swapped, or a German
/// H; of several the commonest chord. Empty where nothing is near.
[[nodiscard]] std::string suggest_symbol(std::string_view token);

/// What is wrong with a token that is no chord, and what to write instead; without a place.
[[nodiscard]] TextError unknown_chord(std::string_view token);

}  // namespace romanesca
