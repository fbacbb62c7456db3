#pragma once

#include <memory>

#include "synth/sound/player.h"

namespace romanesca {

/// The same kit played with brushes: on the snare's keys a tap (38), a slap (39) and a swirl (40), as in the brush set
/// of General MIDI 2; sticks are softer all round.
[[nodiscard]] std::unique_ptr<Player> brush_kit(double sample_rate_hz, const KeySet& keys);

}  // namespace romanesca
