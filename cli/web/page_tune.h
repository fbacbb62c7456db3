#pragma once

#include <nlohmann/json.hpp>

#include "cli/web/page_song.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// A tune as a packet holds it, beside the plain text of its song: for each note its start and length in 1/960 of a
/// quarter note, its pitch and, where one is sung, its syllable and how that goes on:
/// [[0,960,"G4","sea",0],[960,960,"A4"]].
[[nodiscard]] OrderedJson tune_json(const Tune& tune);
/// Reads the same; notes that are not in order, or that are none, are left out. @param json any value
[[nodiscard]] Tune read_tune_json(const OrderedJson& json);

/// Some bars of a song's tune on a staff: {"svg":"<svg ...>","width":480,"notes":[{"bar":1,"beat":0,"x":52,"wide":7,
/// "word":0}],"words":[{"bar":1,"beat":0,"text":"sea","joined":true}]}, the song's bars counted from 1, beats from 0 in
/// units of the meter's lower number; "word" is the place of the syllable that is sung there, -1 for none; "verses" is
/// how many the song has. "svg" is empty for a song without a tune.
/// @param request as for a song, with "first" and "bars" to show, 1 to 8, and the "verse", from 1; after the last comes
/// the first again
[[nodiscard]] OrderedJson tune_answer(const OrderedJson& request);

}  // namespace romanesca
