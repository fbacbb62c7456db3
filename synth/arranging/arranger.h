#pragma once

#include <optional>
#include <string>
#include <vector>

#include "synth/arranging/groove.h"
#include "synth/arranging/song_form.h"
#include "synth/arranging/style.h"
#include "synth/sound/performance.h"
#include "theory/notes/note_event.h"
#include "theory/voicing/voicing.h"

namespace romanesca {

/// The chord as six strings in standard tuning (E2 A2 D3 G3 B3 E4) sound it near the nut: on each string the lowest
/// chord tone within four frets, strings below the bass note silent. From low to high, two to six notes.
[[nodiscard]] Voicing guitar_shape(const Chord& chord);

/// What picking fingers play of the shape: its bass, then three strings side by side, as high as the chord's third is
/// one of the lower two of them, so that a pattern of few strings tells major from minor. (Thumb and three fingers:
/// common practice, no source.)
[[nodiscard]] Voicing guitar_picked(const Chord& chord);

/// The chord as a rhythm guitarist of a swing band holds it: the bass on the low strings (E2 to D#3), third and seventh
/// (of a triad third and fifth) between D3 and C#4; two or three notes (common practice, no source).
[[nodiscard]] Voicing guitar_shell(const Chord& chord);

/// The notes of the band. All times lie on the grid of groove.h.
struct Arrangement {
  std::vector<Part> parts;          ///< named "drums", "bass", ...; none muted
  std::vector<NoteEvent> events;    ///< sorted by start, then part, then pitch
  std::vector<TempoFactor> tempos;  ///< in order; the first at 0
  Beats length;                     ///< whole bars, count-in included
};

/// How the band plays.
struct Playing {
  double pulses_per_minute = 90;     ///< the song's tempo, for what is measured in milliseconds, and for the swing
  int human_percent = 0;             ///< 0 to 100; see Groove
  std::optional<int> swing_percent;  ///< 50 to 75; none for the style's own, at this tempo
  std::uint32_t seed = 1;
};

[[nodiscard]] Groove groove_of(const Style& style, const Playing& playing);

/// Writes out what the style plays over the piece. Keys, organ, pad and strings use the smoothest voice leading.
/// In a bar of another length than the style's the grid is cut or repeated.
[[nodiscard]] Arrangement arrange(const Score& score, const Style& style, const Playing& playing = {});

/// The piece once through, played exactly.
[[nodiscard]] Arrangement arrange(const Timeline& timeline, const Style& style);

}  // namespace romanesca
