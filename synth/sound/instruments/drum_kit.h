#pragma once

#include <memory>

#include "synth/sound/player.h"

namespace romanesca {

/// The drum kit: kick, snare, hats, toms and cymbals, and the hand percussion of General MIDI.
[[nodiscard]] std::unique_ptr<Player> drum_kit(double sample_rate_hz, const KeySet& keys);

}  // namespace romanesca
