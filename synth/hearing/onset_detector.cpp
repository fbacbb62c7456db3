#include "synth/hearing/onset_detector.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

constexpr double lowest_band_hz = 70, highest_band_hz = 8000;
constexpr float band_compression = 300;  // re the loudest band
constexpr double loudness_memory_s = 2;
constexpr auto warm_up = static_cast<std::int64_t>(0.15 * hearing_rate_hz);  // the stream itself begins

}  // namespace

OnsetViewer::OnsetViewer() : spectrum_(block), lines_(block / 2 + 1) {
  constexpr double line_hz = hearing_rate_hz / static_cast<double>(block);
  for (std::size_t i = 0; i <= bands; ++i) {
    const double hz = lowest_band_hz *
                      std::pow(highest_band_hz / lowest_band_hz, static_cast<double>(i) / static_cast<double>(bands));
    edges_[i] = static_cast<std::size_t>(std::lround(hz / line_hz));
    if (i > 0) edges_[i] = std::max(edges_[i], edges_[i - 1] + 1);
  }
}

bool OnsetViewer::push(float sample) noexcept {
  samples_[block - hop + at_++] = sample;
  ++count_;
  if (at_ < hop) return false;
  at_ = 0;
  spectrum_.compute(samples_, lines_);
  std::copy(samples_.begin() + hop, samples_.end(), samples_.begin());
  newest_ = newest_ + 1 == frames ? 0 : newest_ + 1;
  std::array<float, bands>& frame = ring_[newest_];
  static const auto memory =
      static_cast<float>(std::exp(-static_cast<double>(hop) / hearing_rate_hz / loudness_memory_s));
  loudest_ = std::max(loudest_ * memory, 1e-6f);
  for (std::size_t band = 0; band < bands; ++band) {
    float squares = 0;
    for (std::size_t line = edges_[band]; line < edges_[band + 1]; ++line) squares += lines_[line] * lines_[line];
    frame[band] = std::sqrt(squares);
    loudest_ = std::max(loudest_, frame[band]);
  }
  return true;
}

OnsetViewer::Inputs OnsetViewer::views() const noexcept {
  Inputs seen{};
  const float scale = band_compression / loudest_;
  for (std::size_t i = 0; i < frames; ++i) {
    const std::array<float, bands>& frame = ring_[(newest_ + 1 + i) % frames];
    for (std::size_t band = 0; band < bands; ++band) seen[i * bands + band] = std::log1p(frame[band] * scale);
  }
  return seen;
}

std::int64_t OnsetViewer::moment() const noexcept {
  return count_ - static_cast<std::int64_t>(block / 2 + frames_after * hop);
}

std::optional<double> OnsetDetector::push(float sample) noexcept {
  if (!viewer_.push(sample)) return std::nullopt;
  const OnsetViewer::Inputs seen = viewer_.views();
  float output = 0;
  network_.compute(seen, {&output, 1});
  std::rotate(probabilities_.begin(), probabilities_.begin() + 1, probabilities_.end());
  probabilities_.back() = 1 / (1 + std::exp(-output));
  const float here = probabilities_[reach];
  if (here < least_ || viewer_.moment() < warm_up) return std::nullopt;
  for (std::size_t i = 0; i < probabilities_.size(); ++i) {
    if (i != reach && (i < reach ? probabilities_[i] >= here : probabilities_[i] > here)) return std::nullopt;
  }
  // The centre of what stands round the highest one.
  double sum = 0;
  double weight = 0;
  for (std::size_t i = reach - 2; i <= reach + 2; ++i) {
    sum += static_cast<double>(probabilities_[i]) * (static_cast<double>(i) - static_cast<double>(reach));
    weight += static_cast<double>(probabilities_[i]);
  }
  return static_cast<double>(viewer_.moment()) +
         static_cast<double>(OnsetViewer::hop) * (sum / weight - static_cast<double>(reach));
}

}  // namespace romanesca
