#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "cli/web/plan_bytes.h"
#include "theory/analysis/placement.h"

namespace romanesca {

using OrderedJson = nlohmann::ordered_json;

/// The members of a request. One that is missing or of another type is "", @p fallback or false.
[[nodiscard]] std::string text_in(const OrderedJson& request, const char* name);
[[nodiscard]] double number_in(const OrderedJson& request, const char* name, double fallback);
[[nodiscard]] bool flag_in(const OrderedJson& request, const char* name);

/// {"error":{"message":...,"hint":...,"line":...,"column":...,"width":...}}
[[nodiscard]] OrderedJson error_json(const TextError& error);

/// The song of a request ("text", "key", "mode"), in its key.
[[nodiscard]] Parsed<Placement> song_of(const OrderedJson& request);

/// The answer to "loop". @param plan set to the bytes of its sound plan
[[nodiscard]] OrderedJson loop_answer(const OrderedJson& request, std::vector<std::uint8_t>& plan);

}  // namespace romanesca
