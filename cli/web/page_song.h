#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "cli/studio/backing_track.h"
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

/// The text of a request ("text", "mode") as it was understood, with what was decided and left out.
[[nodiscard]] Parsed<NamedProgression> typed_song(const OrderedJson& request);
/// The song of a request ("text", "key", "mode"), in its key.
[[nodiscard]] Parsed<Placement> song_of(const OrderedJson& request);

/// How a request wants the song played: "style", "tempo", "trade", "seed", "click". A style of another meter than the
/// text, chosen before the text was changed, is ignored.
[[nodiscard]] BandRequest band_request(const Placement& song, const OrderedJson& request);

}  // namespace romanesca
