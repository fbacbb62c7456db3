#pragma once

#include <array>
#include <span>
#include <string_view>

#include "theory/analysis/key_evidence.h"

namespace romanesca {

/// How much each sign of key_evidence weighs. P(tonic) = softmax over the twelve tonics of the weighted sum.
struct KeyModel {
  Evidence song{};    ///< for a whole piece
  Evidence window{};  ///< for a window of sixteen bars
};

/// The one that the program uses. tests/fitting/key_weights finds its numbers and measures them.
[[nodiscard]] const KeyModel& fitted_key_model() noexcept;

/// What each sign is, in the order of Evidence.
[[nodiscard]] std::span<const std::string_view, evidence_count> evidence_names() noexcept;

/// Log probabilities of the twelve tonics; all equal where nothing sounds.
[[nodiscard]] std::array<double, 12> tonic_log_probabilities(const std::array<Evidence, 12>& evidence,
                                                             const Evidence& weights) noexcept;

}  // namespace romanesca
