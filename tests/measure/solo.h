#pragma once

#include <cmath>
#include <memory>
#include <vector>

#include "synth/sound/instrument.h"
#include "synth/sound/sample_block.h"

namespace romanesca::test {

/// What a player sounds like from now on, both sides averaged.
inline std::vector<float> play(Player& player, std::size_t frames) {
  std::vector<float> left(frames + 3 * block_frames), right(left.size());
  for (std::size_t at = 0; at < frames; at += block_frames) player.add_to(left.data() + at, right.data() + at);
  for (std::size_t i = 0; i < frames; ++i) left[i] = 0.5f * (left[i] + right[i]);
  left.resize(frames);
  return left;
}

/// A player that may play all keys.
inline std::unique_ptr<Player> player_of(InstrumentId id, double sample_rate_hz) {
  return make_player(id, sample_rate_hz, KeySet().set());
}

/// ISO 16:1975, equal temperament.
inline double frequency_of(int midi) { return 440.0 * std::exp2((midi - 69) / 12.0); }

}  // namespace romanesca::test
