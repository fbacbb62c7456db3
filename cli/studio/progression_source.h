#pragma once

#include <istream>
#include <optional>
#include <string>

#include "theory/analysis/placement.h"
#include "theory/text/errors.h"

namespace romanesca {

/// What the argument means, tried in this order: "-" standard input, an existing file, a library id, else the chords
/// themselves. @return file_refused for a file that cannot be read, wrong_input with the place for wrong text
[[nodiscard]] Result<NamedProgression> read_progression(const std::string& argument, std::istream& standard_input);

/// place_in_key, with errors in the words of the option --key.
[[nodiscard]] Result<Placement> place(NamedProgression source, const std::optional<KeyText>& key,
                                      MinorDegrees style = MinorDegrees::from_major);

/// The key as typed for --key; nothing for an empty text.
[[nodiscard]] Result<std::optional<KeyText>> key_given(const std::string& text);

}  // namespace romanesca
