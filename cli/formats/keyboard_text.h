#pragma once

#include <string>

#include "theory/voicing/hands.h"

namespace romanesca {

/// A piece of keyboard in plain characters with these notes named on their keys, from a C or F to an E or B, so that
/// the groups of black keys can be recognised. Five columns for each white key; the notes should lie within two
/// octaves.
/// @param indent blanks before each line
[[nodiscard]] std::string keyboard_text(const Voicing& notes, int indent);

/// Both hands of a chord in words: "left hand E2; right hand G3 finger 1, B3 finger 3".
[[nodiscard]] std::string hands_in_words(const HandsChord& hands);

}  // namespace romanesca
