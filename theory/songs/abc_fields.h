#pragma once

#include <optional>
#include <string_view>

#include "theory/chords/key.h"
#include "theory/notes/meter.h"

namespace romanesca {

// The information fields of ABC 2.1 whose values a song has.

/// Section 3.1.14: "G", "Gm", "F#mix", "D dorian", "Bb major clef=treble"; nothing for "none" and an empty text, which
/// have no signature, and for what is no key.
[[nodiscard]] std::optional<KeyText> parse_abc_key(std::string_view text);

/// Section 3.1.7: what a letter alone lasts where no "L:" says it, in quarter notes: a sixteenth where the fraction of
/// the meter is less than 3/4, else an eighth.
[[nodiscard]] Beats usual_abc_unit(const ReadMeter& meter);

/// Section 3.1.8: "1/4=120", "3/8=60", "\"Allegro\" 1/4=120", "120" (old: of quarters).
/// @return pulses of the meter a minute; nothing for words alone, or a tempo that a song cannot have
[[nodiscard]] std::optional<double> parse_abc_tempo(std::string_view text, const ReadMeter& meter);

}  // namespace romanesca
