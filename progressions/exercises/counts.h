#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "progressions/exercise.h"

namespace romanesca {

/// How each note of a rhythm is counted where it begins, as musicians say it: "2", "&" after it, "(3) &" where the
/// number itself is silent, "e" and "a" for sixteenths; in compound meters the numbers of the eighths. The first note
/// of every bar but the first has "| " before it. One place for each note.
[[nodiscard]] std::vector<std::vector<std::string>> counts_of(const std::vector<RhythmNote>& rhythm,
                                                              const Meter& meter);

/// The bars of counts that a person wrote, as the places where notes begin in each bar; nothing for what cannot be
/// read. Numbers in parentheses are counted and silent.
[[nodiscard]] std::optional<std::vector<std::vector<Beats>>> read_counts(std::string_view text, const Meter& meter);

/// "2 &", for a sentence.
[[nodiscard]] std::string count_name(Beats in_bar, const Meter& meter);

}  // namespace romanesca
