#pragma once

#include <optional>
#include <pugixml.hpp>

#include "theory/chords/chord.h"

namespace romanesca {

/// Adds to a measure the <harmony> of a chord: its root, the W3C kind nearest to it with the program's own suffix as
/// text, its bass where that is another note, and <degree>s for what the kind leaves open. N.C. is the kind "none".
///
/// The kind is the one that needs the fewest degrees. An alteration or omission counts from the kind, an added tone
/// from a dominant chord (so a major seventh is "add 7, alter 1"), as MusicXML 4.0 defines degree-alter. Degrees are
/// not printed, the text says them already.
void add_harmony(pugi::xml_node measure, const std::optional<Chord>& chord);

/// "C" to "B".
[[nodiscard]] const char* step_name(PitchClass name) noexcept;

}  // namespace romanesca
