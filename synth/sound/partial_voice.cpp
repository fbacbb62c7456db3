#include "synth/sound/partial_voice.h"

#include <algorithm>
#include <cmath>

#include "synth/sound/sine.h"

namespace romanesca {
namespace {

constexpr float silence = 5e-5f;           // -86 dB, before the instrument's own gain: such a partial is dropped
constexpr double highest_fraction = 0.45;  // of the sample rate

/// Factor per frame of a fall by 60 dB in the time given: 10^(-3 / frames).
float keep_of(float decay_s, double sample_rate_hz) {
  if (decay_s <= 0) return 1;
  return static_cast<float>(std::exp(-6.907755 / (static_cast<double>(decay_s) * sample_rate_hz)));
}

}  // namespace

void PartialVoice::start(const Recipe& recipe, double frequency_hz, float level, std::uint32_t seed) noexcept {
  float squares = 0;
  for (std::size_t i = 0; i < recipe.count; ++i) squares += recipe.partials[i].level * recipe.partials[i].level;
  const float scale = level / std::sqrt(std::max(squares, 1e-12f));
  count_ = 0;
  strongest_ = 0;
  for (std::size_t i = 0; i < recipe.count; ++i) {
    const Partial& partial = recipe.partials[i];
    const double step = partial.ratio * frequency_hz / sample_rate_hz_;
    if (step >= highest_fraction || partial.level <= 0) continue;
    const float keep = keep_of(partial.decay_s, sample_rate_hz_);
    sines_[count_++] = {0, step, partial.level * scale, keep, std::pow(keep, static_cast<float>(slice_frames))};
    strongest_ = std::max(strongest_, partial.level * scale);
  }
  envelope_ = recipe.attack_s > 0 ? 0.0f : 1.0f;
  attacking_ = recipe.attack_s > 0;
  attack_step_ = attacking_ ? static_cast<float>(1.0 / (recipe.attack_s * sample_rate_hz_)) : 1.0f;
  release_keep_ = keep_of(std::max(recipe.release_s, 0.005f), sample_rate_hz_);
  released_ = false;
  active_ = count_ > 0;
  noise_ = Noise(seed);
  noise_level_ = recipe.noise * level;
  noise_keep_ = keep_of(std::max(recipe.noise_decay_s, 0.001f), sample_rate_hz_);
  noise_smooth_ = static_cast<float>(1 - std::exp(-6.2831853 * recipe.noise_cutoff_hz / sample_rate_hz_));
  noise_state_ = 0;
}

void PartialVoice::add_to(float* out, std::size_t frames) noexcept {
  if (!active_ || frames == 0) return;
  const auto length = static_cast<float>(frames);
  const float from = envelope_;
  float to = from;
  if (released_) {
    to = from * std::pow(release_keep_, length);
  } else if (attacking_) {
    to = std::min(1.0f, from + attack_step_ * length);
    attacking_ = to < 1.0f;
  }
  strongest_ = 0;
  for (std::size_t p = 0; p < count_;) {
    Sine& sine = sines_[p];
    const float keep = frames == slice_frames ? sine.keep_slice : std::pow(sine.keep, length);
    const float first = sine.level * from;
    const float slope = (sine.level * keep * to - first) / length;
    const auto phase = static_cast<float>(sine.phase);
    const auto step = static_cast<float>(sine.step);
    for (std::size_t i = 0; i < frames; ++i) {
      const auto n = static_cast<float>(static_cast<int>(i));
      out[i] += (first + slope * n) * sine_of_turns(phase + step * n);
    }
    sine.phase += sine.step * static_cast<double>(frames);
    sine.phase -= std::floor(sine.phase);
    sine.level *= keep;
    strongest_ = std::max(strongest_, sine.level);
    // A partial that has died away makes room; the others keep their phases.
    if (sine.level < silence) {
      sine = sines_[--count_];
    } else {
      ++p;
    }
  }
  if (noise_level_ > silence) add_noise(out, frames, from, to);
  envelope_ = to;
  active_ = count_ > 0 && !(released_ && envelope_ * strongest_ < silence);
}

void PartialVoice::add_noise(float* out, std::size_t frames, float from, float to) noexcept {
  float state = noise_state_;
  float level = noise_level_;
  const float envelope_step = (to - from) / static_cast<float>(frames);
  for (std::size_t i = 0; i < frames; ++i) {
    state += noise_smooth_ * (noise_.next() - state);
    out[i] += state * level * (from + envelope_step * static_cast<float>(i));
    level *= noise_keep_;
  }
  noise_state_ = state;
  noise_level_ = level;
}

}  // namespace romanesca
