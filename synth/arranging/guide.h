#pragma once

#include <optional>
#include <string_view>

#include "synth/arranging/arranger.h"
#include "synth/arranging/groove.h"

namespace romanesca {

/// What a guide part plays for a student who needs help: the chart's chords, held, a line of chord tones to sing or
/// play along with, or the song's own tune.
enum class Guide { chords, melody, tune };
/// "chords", "melody" or "tune", else nothing.
[[nodiscard]] std::optional<Guide> parse_guide(std::string_view text);

/// How much softer a guide is than a part of the band.
inline constexpr float guide_db = -6;

/// Adds a soft part "guide". Chords are the right hand of the chart. The melody has one note to a chord (two where it
/// lasts a bar or more): chord tones by the smallest steps, thirds and sevenths before others, between G4 and G5 (guide
/// tones: common practice, no source). The tune is added by with_tune. @param groove that the band plays with; the
/// guide swings with it, exactly.
[[nodiscard]] Arrangement with_guide(Arrangement arrangement, const Score& score, Guide guide, Groove groove);

}  // namespace romanesca
