#pragma once

#include <memory>

#include "synth/sound/player.h"

namespace romanesca {

/// A singing voice for melodies: up to ten harmonics, the odd ones stronger, with a vibrato that comes in after a
/// moment and is centred on the note.
[[nodiscard]] std::unique_ptr<Player> lead(double sample_rate_hz, const KeySet& keys);
/// The same without vibrato, for measuring.
[[nodiscard]] std::unique_ptr<Player> steady_lead(double sample_rate_hz, const KeySet& keys);

}  // namespace romanesca
