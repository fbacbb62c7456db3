#pragma once

#include <memory>

#include "synth/sound/player.h"

namespace romanesca {

/// An electric piano of tines, by frequency modulation (Chowning, JAES 21/7, 1973): a tone of two sines at the note,
/// whose overtones grow with force, and above it the ring of the tine, which modulates a second sine at fourteen times
/// the note. What would fold back at the top of the keyboard is left out: the index falls there and the tine is gone.
[[nodiscard]] std::unique_ptr<Player> electric_piano(double sample_rate_hz, const KeySet& keys);

}  // namespace romanesca
