#include "synth/sound/instruments/drum_patch.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/noise.h"

namespace romanesca {
namespace {

/// A band of 12 dB an octave on either side: two state-variable filters in a row (after Zavalishin, The Art of VA
/// Filter Design, 2012, ch. 4: trapezoidal integrators, no resonance).
class DrumBandpass {
 public:
  DrumBandpass(double low_hz, double high_hz, double sample_rate_hz)
      : low_(low_hz, sample_rate_hz), high_(high_hz, sample_rate_hz) {}
  double operator()(double in) { return low_.step(high_.step(in).low).high; }

 private:
  struct Outputs {
    double low, high;
  };
  class Filter {
   public:
    Filter(double hz, double sample_rate_hz) {
      const Rotation half = rotation_of(std::min(hz / sample_rate_hz, 0.45) / 2);
      g_ = half.sine / half.cosine;
      scale_ = 1 / (1 + damping * g_ + g_ * g_);
    }
    Outputs step(double in) {
      const double high = (in - (damping + g_) * first_ - second_) * scale_;
      const double band = g_ * high + first_;
      const double low = g_ * band + second_;
      first_ = band + g_ * high;
      second_ = low + g_ * band;
      return {low, high};
    }

   private:
    static constexpr double damping = 1.41421356237309504880;  // Butterworth
    double g_, scale_, first_ = 0, second_ = 0;
  };
  Filter low_, high_;
};

void add_tone(const DrumTone& tone, float force, double sample_rate_hz, std::vector<float>& out) {
  const double decay = decay_per_frame(static_cast<double>(tone.decay_s), sample_rate_hz);
  const double glide_decay = time_constant_decay(static_cast<double>(tone.glide_s), sample_rate_hz);
  const auto hz = static_cast<double>(tone.hz);
  double glide = static_cast<double>(tone.glide_hz) * (0.6 + 0.4 * static_cast<double>(force));
  auto level = static_cast<double>(tone.level);
  double phase = 0;
  for (float& sample : out) {
    if (level < 1e-5) break;
    sample += static_cast<float>(level) * sine_of_turns(static_cast<float>(phase));
    phase += (hz + glide) / sample_rate_hz;
    phase -= std::floor(phase);
    glide *= glide_decay;
    level *= decay;
  }
}

void add_noise(const DrumPatch& patch, const DrumNoise& band, std::uint32_t seed, float force, double sample_rate_hz,
               std::vector<float>& out) {
  Noise noise(seed);
  const double high_hz = static_cast<double>(band.high_hz) * (0.45 + 0.55 * static_cast<double>(force));
  DrumBandpass filter(static_cast<double>(band.low_hz), std::max(high_hz, 1.3 * static_cast<double>(band.low_hz)),
                      sample_rate_hz);
  const double decay = decay_per_frame(static_cast<double>(band.decay_s), sample_rate_hz);
  const auto gap = static_cast<std::size_t>(std::max(1.0, static_cast<double>(patch.burst_s) * sample_rate_hz));
  const double rise = band.attack_s > 0 ? 1 / (static_cast<double>(band.attack_s) * sample_rate_hz) : 1;
  // A narrow band passes less of the noise; the level is that of the output.
  const double loudness =
      std::sqrt(sample_rate_hz / 2 / std::max(high_hz - static_cast<double>(band.low_hz), 500.0)) * 0.6;
  double level = static_cast<double>(band.level) * loudness;
  for (std::size_t i = 0; i < out.size(); ++i) {
    const bool next_burst = i > 0 && i % gap == 0 && i / gap < static_cast<std::size_t>(patch.bursts);
    if (next_burst) level = static_cast<double>(band.level) * loudness;
    if (level < 1e-5) break;
    const double attack = std::min(1.0, rise * static_cast<double>(i + 1));
    out[i] += static_cast<float>(level * attack * filter(static_cast<double>(noise.next())));
    level *= decay;
  }
}

void add_metal(const DrumMetal& metal, float force, double sample_rate_hz, std::vector<float>& out) {
  // Inharmonic ratios, so that no pitch is heard.
  constexpr std::array<double, 14> ratios{1.0,   1.183, 1.342, 1.531, 1.697, 1.877, 2.069,
                                          2.287, 2.513, 2.741, 3.019, 3.307, 3.618, 3.947};
  const auto sines = static_cast<std::size_t>(std::clamp(metal.sines, 1, 14));
  for (std::size_t k = 0; k < sines; ++k) {
    const double step = static_cast<double>(metal.hz) * ratios[k] / sample_rate_hz;
    if (step > 0.45) break;
    const double height = static_cast<double>(k) / 14;
    const double soft = 1 - height * (1 - static_cast<double>(force));
    // The higher, the shorter.
    const double decay = decay_per_frame(static_cast<double>(metal.decay_s) * (1 - 0.5 * height), sample_rate_hz);
    double level = static_cast<double>(metal.level) * soft / std::sqrt(static_cast<double>(sines));
    double phase = 0;
    for (float& sample : out) {
      if (level < 1e-5) break;
      sample += static_cast<float>(level) * sine_of_turns(static_cast<float>(phase));
      phase += step;
      phase -= std::floor(phase);
      level *= decay;
    }
  }
}

float longest_decay(const DrumPatch& patch) {
  float longest = patch.metal.level > 0 ? patch.metal.decay_s : 0;
  for (const DrumTone& tone : patch.tones) longest = std::max(longest, tone.level > 0 ? tone.decay_s : 0);
  const float bursts_s = static_cast<float>(patch.bursts - 1) * patch.burst_s;
  for (const DrumNoise& noise : patch.noises)
    longest = std::max(longest, noise.level > 0 ? noise.decay_s + noise.attack_s + bursts_s : 0);
  return longest;
}

}  // namespace

const DrumPatch& nearest_drum_patch(std::span<const DrumPatch> patches, int key) noexcept {
  const auto of_key = [&](int wanted) {
    return std::find_if(patches.begin(), patches.end(), [&](const DrumPatch& each) { return each.key == wanted; });
  };
  if (const auto own = of_key(key); own != patches.end()) return *own;
  // The most similar key of General MIDI percussion, for keys without a patch of their own.
  constexpr std::array<std::array<int, 2>, 24> kin{{{35, 36}, {40, 38}, {43, 41}, {47, 45}, {48, 50}, {52, 49},
                                                    {53, 51}, {55, 49}, {57, 49}, {58, 54}, {59, 51}, {60, 63},
                                                    {61, 64}, {65, 50}, {66, 45}, {67, 56}, {68, 56}, {69, 70},
                                                    {73, 70}, {74, 70}, {78, 64}, {79, 64}, {80, 54}, {81, 54}}};
  for (const auto& [from, to] : kin) {
    if (from == key) key = to;
  }
  return *std::min_element(patches.begin(), patches.end(), [&](const DrumPatch& a, const DrumPatch& b) {
    return std::abs(a.key - key) < std::abs(b.key - key);
  });
}

std::vector<float> synthesise_drum(const DrumPatch& patch, float force, double sample_rate_hz) {
  const double seconds = 1.35 * static_cast<double>(longest_decay(patch));
  std::vector<float> samples(static_cast<std::size_t>(seconds * sample_rate_hz) + 64, 0.0f);
  for (const DrumTone& tone : patch.tones) {
    if (tone.level > 0) add_tone(tone, force, sample_rate_hz, samples);
  }
  auto seed = static_cast<std::uint32_t>(patch.key) * 2654435761U;
  for (const DrumNoise& noise : patch.noises) {
    if (noise.level > 0) add_noise(patch, noise, seed++, force, sample_rate_hz, samples);
  }
  if (patch.metal.level > 0) add_metal(patch.metal, force, sample_rate_hz, samples);
  // The last frames fade out, so that the end does not click.
  const auto fade = samples.size() / 8;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const std::size_t left = samples.size() - 1 - i;
    const float gain = left < fade ? static_cast<float>(left) / static_cast<float>(fade) : 1.0f;
    samples[i] *= gain * patch.level;
  }
  return samples;
}

}  // namespace romanesca
