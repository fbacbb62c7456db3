#include "synth/hearing/pitch_spectrum.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace romanesca {
namespace {

constexpr std::size_t whitening_bins = 12 * bins_per_semitone + 1;  // an octave
constexpr std::size_t half_whitening = whitening_bins / 2;

double hz_of_midi(double midi) { return 440 * std::exp2((midi - 69) / 12); }

}  // namespace

void whiten(std::span<float> bins) noexcept {
  std::array<float, pitch_bins> source{};
  std::copy(bins.begin(), bins.end(), source.begin());
  const auto at = [&](std::ptrdiff_t i) {
    return static_cast<double>(source[static_cast<std::size_t>(
        std::clamp<std::ptrdiff_t>(i, 0, static_cast<std::ptrdiff_t>(pitch_bins) - 1))]);
  };
  constexpr auto reach = static_cast<std::ptrdiff_t>(half_whitening);
  double sum = 0;
  double squares = 0;
  for (std::ptrdiff_t i = -reach; i <= reach; ++i) {
    sum += at(i);
    squares += at(i) * at(i);
  }
  for (std::size_t i = 0; i < pitch_bins; ++i) {
    const double mean = sum / static_cast<double>(whitening_bins);
    const double variance = std::max(0.0, squares / static_cast<double>(whitening_bins) - mean * mean);
    bins[i] = static_cast<float>((static_cast<double>(source[i]) - mean) / (std::sqrt(variance) + 0.25));
    const auto here = static_cast<std::ptrdiff_t>(i);
    sum += at(here + reach + 1) - at(here - reach);
    squares += at(here + reach + 1) * at(here + reach + 1) - at(here - reach) * at(here - reach);
  }
}

PitchFold::PitchFold(std::size_t block_size) : block_size_(block_size) {
  weights_.reserve(4 * pitch_bins + block_size);  // more than any tuning needs
  set_tuning(0);
}

void PitchFold::set_tuning(double cents) {
  const double line_hz = hearing_rate_hz / static_cast<double>(block_size_);
  weights_.clear();
  for (std::size_t i = 0; i < pitch_bins; ++i) {
    const double midi = lowest_heard_midi + (static_cast<double>(i) - 1) / static_cast<double>(bins_per_semitone);
    const double centre_hz = hz_of_midi(midi + cents / 100);
    const double width_hz =
        std::max(centre_hz * (std::exp2(1 / (12.0 * static_cast<double>(bins_per_semitone))) - 1), line_hz);
    const auto first = static_cast<std::size_t>(std::ceil((centre_hz - width_hz) / line_hz));
    const auto last = static_cast<std::size_t>(std::floor((centre_hz + width_hz) / line_hz));
    bins_[i] = {first, weights_.size(), last - first + 1};
    double sum = 0;
    for (std::size_t line = first; line <= last; ++line) {
      const double weight = std::max(0.0, 1 - std::abs(static_cast<double>(line) * line_hz - centre_hz) / width_hz);
      weights_.push_back(static_cast<float>(weight));
      sum += weight;
    }
    for (std::size_t k = bins_[i].first_weight; k < weights_.size(); ++k) weights_[k] /= static_cast<float>(sum);
  }
}

void PitchFold::fold(std::span<const float> amplitudes, std::span<float> bins) const noexcept {
  for (std::size_t i = 0; i < pitch_bins; ++i) {
    const Bin& bin = bins_[i];
    float sum = 0;
    for (std::size_t k = 0; k < bin.count; ++k) sum += weights_[bin.first_weight + k] * amplitudes[bin.first_line + k];
    bins[i] = sum;
  }
}

void TuningMeter::add(std::span<const float> amplitudes) noexcept {
  constexpr double line_hz = hearing_rate_hz / static_cast<double>(pitch_block);
  constexpr auto first = static_cast<std::size_t>(110 / line_hz);
  constexpr auto last = static_cast<std::size_t>(1760 / line_hz);
  constexpr double memory = 0.95;
  float loudest = 0;
  for (std::size_t i = first; i < last; ++i) loudest = std::max(loudest, amplitudes[i]);
  if (loudest <= 1e-6f) return;
  real_ *= memory;
  imaginary_ *= memory;
  weight_ *= memory;
  for (std::size_t i = first; i < last; ++i) {
    const auto below = static_cast<double>(amplitudes[i - 1]);
    const auto here = static_cast<double>(amplitudes[i]);
    const auto above = static_cast<double>(amplitudes[i + 1]);
    if (here < 0.1 * static_cast<double>(loudest) || here < below || here < above) continue;
    // The top of a parabola through the logarithms (Smith & Serra, PARSHL, ICMC 1987).
    const double a = std::log(below + 1e-9);
    const double b = std::log(here + 1e-9);
    const double c = std::log(above + 1e-9);
    const double offset = 0.5 * (a - c) / std::min(a - 2 * b + c, -1e-9);
    const double midi = 12 * std::log2((static_cast<double>(i) + offset) * line_hz / 440);
    const double weight = here / static_cast<double>(loudest);
    real_ += weight * std::cos(2 * std::numbers::pi * midi);
    imaginary_ += weight * std::sin(2 * std::numbers::pi * midi);
    weight_ += weight;
  }
}

double TuningMeter::cents() const noexcept {
  if (weight_ <= 0) return 0;
  const double cents = std::atan2(imaginary_, real_) * 50 / std::numbers::pi;
  constexpr double sharpest = 46;
  return cents > sharpest ? cents - 100 : cents;
}

double TuningMeter::agreement() const noexcept { return weight_ > 0 ? std::hypot(real_, imaginary_) / weight_ : 0; }

}  // namespace romanesca
