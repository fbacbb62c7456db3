#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "theory/chords/numeral.h"

namespace romanesca {

/// Reads a Roman numeral: "vi7", "V65/V", "bVII", "viio7", "iiø65", "IVmaj7", "N6", "Ger65", "Cad64", "IV/5".
/// Figures: 6 64 on triads, 7 65 43 42 (or 2) on sevenths, also with a stroke (6/5); case gives the quality; o, the
/// degree sign or dim diminished, ø or 0 half-diminished, + augmented (RomanText forms: Tymoczko, Gotham, Cuthbert &
/// Ariza, ISMIR 2019). Every suffix of a chord symbol may follow too: "Iadd9", "V7sus4", also
/// "i5" without a third and "IIm7", which stays written so. @return nothing for any other
/// text.
[[nodiscard]] std::optional<Numeral> parse_roman(std::string_view text);

/// Reads a number: "4", "6m", "b7", "5/7" (five over seven in the bass), "2m7", "47" (four with a seventh).
[[nodiscard]] std::optional<Numeral> parse_number(std::string_view text);

/// The numeral or number as text that the function above reads back.
[[nodiscard]] std::string to_string(const Numeral& numeral);
/// "bVI", "iv"; as a number "b6".
[[nodiscard]] std::string to_string(const ScaleDegree& degree, bool as_number = false);

}  // namespace romanesca
