#pragma once

#include <functional>
#include <nlohmann/json.hpp>
#include <string>

#include "cli/formats/analysis_answer.h"

namespace romanesca {

using OrderedJson = nlohmann::ordered_json;

/// {"tonic":"G","mode":"major","confidence":0.97}
[[nodiscard]] OrderedJson key_json(const KeyGuess& guess);
/// A chord of the answer as analyse --json gives it.
[[nodiscard]] OrderedJson chord_json(const Progression& progression, const Analysis& analysis, std::size_t index);

/// @p answer as text with a line end, its member "chords" (which must be null in it) replaced by one object for each
/// chord. The objects are made one at a time, so that a long song needs no tree of them all.
/// @param chord makes the object of the chord with that index.
[[nodiscard]] std::string json_text(const OrderedJson& answer, std::size_t count,
                                    const std::function<OrderedJson(std::size_t)>& chord);

/// The whole answer of analyse --json, as text.
[[nodiscard]] std::string analysis_json(const AnalysisAnswer& answer);

}  // namespace romanesca
