#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "theory/chords/key.h"
#include "theory/songs/progression.h"

namespace romanesca {

/// Ways to end a phrase (Open Music Theory and harmony textbooks; from memory). What else arrives at the tonic has no
/// name here: bVII to I, as rock ends a phrase, is called plagal by nobody who keeps the word for the fourth degree,
/// and writers on rock do not agree on another one.
enum class CadenceKind {
  authentic,  ///< V or viio to I
  plagal,     ///< IV or iv to I
  deceptive,  ///< V to vi
  half,       ///< the phrase stops on V
};
[[nodiscard]] std::string_view to_string(CadenceKind kind);

/// How cadences are called: perfect, plagal, interrupted, imperfect by British examination boards and textbooks;
/// authentic, plagal, deceptive, half by American ones (Open Music Theory).
enum class CadenceTerms : std::uint8_t { british, american };
/// Reads "british" or "american"; nothing for anything else.
[[nodiscard]] std::optional<CadenceTerms> parse_cadence_terms(std::string_view text);
[[nodiscard]] std::string_view to_string(CadenceTerms terms) noexcept;

/// The name with its article: "a perfect cadence", "an interrupted cadence".
[[nodiscard]] std::string_view cadence_term(CadenceKind kind, CadenceTerms terms = CadenceTerms::british);

struct Cadence {
  CadenceKind kind = CadenceKind::authentic;
  int bar = 0;  ///< of the arrival
};

/// Cadences where phrases may end: the arrival is the last chord of a section, or lies in the fourth bar of a group of
/// four, or opens the group after it.
/// @param keys by bar, as the key finder gives them.
[[nodiscard]] std::vector<Cadence> find_cadences(const Timeline& timeline, const std::vector<Key>& keys);

}  // namespace romanesca
