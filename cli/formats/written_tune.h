#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "cli/formats/written_rhythm.h"
#include "theory/notes/meter_map.h"
#include "theory/songs/progression.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// A note or rest of a tune as it is written: a note that no single value can show is several of these, tied.
struct WrittenTuneNote {
  std::optional<std::size_t> note;  ///< index into the tune; nothing for a rest
  Beats start;   ///< from the beginning of its bar; of an upbeat, where it would begin in a whole bar
  Beats length;  ///< that it sounds
  NoteValue value;
  std::optional<Tuplet> tuplet;
  bool begins = true;      ///< the note begins here; else it goes on from the one before
  bool tied = false;       ///< it goes on in the next one
  bool whole_bar = false;  ///< a rest that fills its bar
};

/// How a bar of a tune is written. Notes off the beat may sound over one pulse inside a half of the bar, as eighth,
/// quarter, eighth; any other is cut and tied where it would hide a pulse or the middle of the bar; rests are cut at
/// every pulse that they cross but the first of a half. Pulses that are divided otherwise than by two are tuplets of
/// their own (after Gould, "Behind Bars", the chapter on metre; from memory).
/// @param bar from 1; 0 for the upbeat
[[nodiscard]] std::vector<WrittenTuneNote> written_tune_bar(const Tune& tune, const MeterMap& meters, int bar);

/// Where the sounding part of a bar begins in it: 0, or later in an upbeat. @param bar as above
[[nodiscard]] Beats tune_bar_begin(const Tune& tune, const MeterMap& meters, int bar);

/// Where a bar ends: with its meter, or earlier where it is short on paper. @param bar as above
[[nodiscard]] Beats tune_bar_end(const Tune& tune, const MeterMap& meters, int bar);

/// Makes the last chords of the bars that are short on paper as short.
void shorten_chords(Timeline& timeline, const Tune& tune);

}  // namespace romanesca
