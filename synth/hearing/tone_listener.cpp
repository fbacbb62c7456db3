#include "synth/hearing/tone_listener.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace romanesca {
namespace {

constexpr auto samples_of(double seconds) { return static_cast<std::int64_t>(seconds * hearing_rate_hz); }
constexpr std::int64_t first_look = samples_of(0.1), between_looks = samples_of(0.05), last_look = samples_of(0.9);
constexpr std::int64_t one_attack = samples_of(0.08);  // notes that are struck within it belong together
constexpr std::int64_t never = std::numeric_limits<std::int64_t>::max();

}  // namespace

ToneListener::ToneListener(double input_rate_hz)
    : resampler_(input_rate_hz),
      detector_(hearing_network("onset_weights")),
      network_(hearing_network("tone_weights")),
      ring_(kept),
      block_(pitch_block),
      next_look_(never) {}

std::span<const float> ToneListener::block_before(std::int64_t end) noexcept {
  for (std::size_t i = 0; i < pitch_block; ++i) {
    const std::int64_t at = end - static_cast<std::int64_t>(pitch_block - i);
    block_[i] = at < 0 ? 0 : ring_[static_cast<std::size_t>(at) % kept];
  }
  return block_;
}

std::optional<TonesHeard> ToneListener::take(float sample) noexcept {
  ring_[static_cast<std::size_t>(count_) % kept] = sample;
  ++count_;
  if (const auto found = detector_.push(sample)) {
    const auto onset = static_cast<std::int64_t>(std::lround(*found));
    if (next_look_ == never || onset - onset_ > one_attack) {
      onset_ = onset;
      looked_ = 0;
      ++onsets_;
      viewer_.keep_before(block_before(onset));
      next_look_ = std::max(onset + first_look, count_);
    }
  }
  if (count_ < next_look_) return std::nullopt;
  viewer_.look(block_before(count_), views_);
  looks_[looked_ % looks_.size()] = network_.probabilities(views_);
  ++looked_;
  TonesHeard heard;
  heard.onset_ms = 1000 * static_cast<double>(onset_) / hearing_rate_hz;
  heard.at_ms = 1000 * static_cast<double>(count_) / hearing_rate_hz;
  const std::size_t counted = std::min(looked_, looks_.size());
  for (std::size_t i = 0; i < 12; ++i) {
    for (std::size_t k = 0; k < counted; ++k) heard.probability[i] += looks_[k][i] / static_cast<float>(counted);
  }
  next_look_ = next_look_ + between_looks <= onset_ + last_look ? next_look_ + between_looks : never;
  return heard;
}

}  // namespace romanesca
