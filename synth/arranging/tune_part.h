#pragma once

#include <span>
#include <string>

#include "synth/arranging/arranger.h"
#include "synth/arranging/groove.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// Who plays a song's tune with the band.
struct TunePart {
  std::string name;  ///< of the part
  InstrumentId instrument = InstrumentId::lead;
  float gain_db = 0;
};

/// Adds the song's own tune as a part. It rests in an intro, where drums play alone, and in a bar that an ending adds.
/// Its upbeat sounds at the end of the bar before; that of the first time round in the count-in, or, in a piece without
/// count-in that goes round and round, in its last bar.
/// @param arrangement with its count-in @param score without @param rounds the tune of each time round
/// @param goes_round the piece is a loop @param groove that the band plays with; the tune swings with it
[[nodiscard]] Arrangement with_tune(Arrangement arrangement, const Score& score, std::span<const Tune> rounds,
                                    const TunePart& part, bool goes_round, const Groove& groove);

}  // namespace romanesca
