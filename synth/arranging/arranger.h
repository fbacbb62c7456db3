#pragma once

#include <string>
#include <vector>

#include "synth/arranging/style.h"
#include "theory/note_event.h"
#include "theory/progression.h"

namespace romanesca {

struct ArrangedPart {
  std::string name;        ///< "drums", "bass", ...
  std::string instrument;  ///< id in the table of instruments
  double level_db = 0;
};

/// A piece for the band, still without sound.
struct Arrangement {
  std::vector<ArrangedPart> parts;
  std::vector<NoteEvent> events;  ///< sorted by start, then part, then pitch
  Beats length;                   ///< whole bars, count-in included
};

/// Writes out what the style plays over the chords, once through.
///
/// A new chord is always heard: the bass strikes its bass note at every change; keys, guitar and pad take it over where
/// they sound, and strike it at its start where the style would leave it out altogether. Keys and pad follow the
/// smallest voice leading. In a bar of another length than the style's the grid is cut short or begun again.
[[nodiscard]] Arrangement arrange(const Timeline& timeline, const Style& style);

/// Puts bars of clicks before the piece, on a part "count-in": the high wood block on the first beat of each bar, the
/// low one on the others; compound meters count their pulses. @param bars 0 leaves the piece as it is.
[[nodiscard]] Arrangement with_count_in(Arrangement arrangement, const Meter& meter, int bars);

/// The piece several times in a row. @param times 1 or more.
[[nodiscard]] Arrangement repeated(const Arrangement& arrangement, int times);

}  // namespace romanesca
