#pragma once

#include <memory>

#include "synth/sound/player.h"

namespace romanesca {

/// The metronome: a high click on the first beat (key 76) and a lower one on the others (77).
[[nodiscard]] std::unique_ptr<Player> click(double sample_rate_hz, const KeySet& keys);

}  // namespace romanesca
