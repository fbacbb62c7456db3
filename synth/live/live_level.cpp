#include "synth/live/live_level.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "synth/sound/compressor.h"
#include "synth/sound/loudness.h"
#include "synth/sound/performer.h"

namespace romanesca {

double live_gain_db(const Performance& performance, double sample_rate_hz, double loudness_lufs) {
  constexpr double longest_s = 30;
  Performer performer(performance, sample_rate_hz);
  Compressor compressor({}, sample_rate_hz);
  Loudness loudness(sample_rate_hz);
  const auto frames = std::min(performer.length_frames(), static_cast<std::int64_t>(longest_s * sample_rate_hz));
  std::array<float, block_frames> left{}, right{};
  for (std::int64_t at = 0; at < frames; at += static_cast<std::int64_t>(block_frames)) {
    const StereoBlock block{left.data(), right.data(), block_frames};
    performer.render(block);
    compressor.process(block.left, block.right);
    loudness.add(block);
  }
  const double heard = loudness.integrated_lufs();
  return std::isfinite(heard) ? loudness_lufs - heard : 0;
}

}  // namespace romanesca
