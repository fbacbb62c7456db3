#include "synth/sound/instruments/drum_patch.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/noise.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

/// Softly and with full force, which the compiler calculates together (a vector type of GCC and clang).
using Forces = double __attribute__((vector_size(16)));
constexpr std::array<double, 2> forces{static_cast<double>(soft_drum_force), 1.0};
constexpr double inaudible = 1e-5;

/// A band of 12 dB an octave on either side: two state-variable filters in a row (after Zavalishin, The Art of VA
/// Filter Design, 2012, ch. 4: trapezoidal integrators, no resonance).
class DrumBandpass {
 public:
  DrumBandpass(Forces low_hz, Forces high_hz, double sample_rate_hz)
      : low_(low_hz, sample_rate_hz), high_(high_hz, sample_rate_hz) {}
  Forces operator()(Forces in) { return low_.step(high_.step(in).low).high; }

 private:
  struct Outputs {
    Forces low, high;
  };
  class Filter {
   public:
    Filter(Forces hz, double sample_rate_hz) {
      const auto gain = [&](int force) {
        const Rotation half = rotation_of(std::min(hz[force] / sample_rate_hz, 0.45) / 2);
        return half.sine / half.cosine;
      };
      g_ = Forces{gain(0), gain(1)};
      scale_ = 1 / (1 + damping * g_ + g_ * g_);
      feedback_ = damping + g_;
    }
    Outputs step(Forces in) {
      const Forces high = (in - feedback_ * first_ - second_) * scale_;
      const Forces band = g_ * high + first_;
      const Forces low = g_ * band + second_;
      first_ = band + g_ * high;
      second_ = low + g_ * band;
      return {low, high};
    }

   private:
    static constexpr double damping = 1.41421356237309504880;  // Butterworth
    Forces g_{}, scale_{}, feedback_{}, first_{}, second_{};
  };
  Filter low_, high_;
};

ROMANESCA_VECTOR_CLONES
void add_sines(const float* __restrict turns, const float* __restrict levels, std::size_t count,
               float* __restrict out) {
  for (std::size_t i = 0; i < count; ++i) out[i] += levels[i] * sine_of_turns(turns[i]);
}

void add_tone(const DrumTone& tone, double force, double sample_rate_hz, std::vector<float>& out) {
  constexpr std::size_t piece = 256;  // frames whose sines are calculated together
  std::array<float, piece> turns{};
  std::array<float, piece> levels{};
  const double decay = decay_per_frame(static_cast<double>(tone.decay_s), sample_rate_hz);
  const double glide_decay = time_constant_decay(static_cast<double>(tone.glide_s), sample_rate_hz);
  const auto hz = static_cast<double>(tone.hz);
  double glide = static_cast<double>(tone.glide_hz) * (0.6 + 0.4 * force);
  auto level = static_cast<double>(tone.level);
  double phase = 0;
  for (std::size_t at = 0; at < out.size() && level >= inaudible; at += piece) {
    std::size_t count = 0;
    for (; count < std::min(piece, out.size() - at) && level >= inaudible; ++count) {
      turns[count] = static_cast<float>(phase);
      levels[count] = static_cast<float>(level);
      phase += (hz + glide) / sample_rate_hz;
      if (phase >= 1) phase -= 1;  // a step is shorter than a turn
      glide *= glide_decay;
      level *= decay;
    }
    add_sines(turns.data(), levels.data(), count, out.data() + at);
  }
}

void add_noise(const DrumPatch& patch, const DrumNoise& band, std::uint32_t seed, double sample_rate_hz,
               DrumSamples& out) {
  Noise noise(seed);
  const auto low_hz = static_cast<double>(band.low_hz);
  Forces high_hz{}, level{};
  for (int force = 0; force < 2; ++force) {
    high_hz[force] = std::max(
        static_cast<double>(band.high_hz) * (0.45 + 0.55 * forces[static_cast<std::size_t>(force)]), 1.3 * low_hz);
    // A narrow band passes less of the noise; the level is that of the output.
    level[force] = static_cast<double>(band.level) * 0.6 *
                   std::sqrt(sample_rate_hz / 2 / std::max(high_hz[force] - low_hz, 500.0));
  }
  const Forces low{low_hz, low_hz};
  DrumBandpass filter(low, high_hz, sample_rate_hz);
  const double decay = decay_per_frame(static_cast<double>(band.decay_s), sample_rate_hz);
  const auto gap = static_cast<std::size_t>(std::max(1.0, static_cast<double>(patch.burst_s) * sample_rate_hz));
  const double rise = band.attack_s > 0 ? 1 / (static_cast<double>(band.attack_s) * sample_rate_hz) : 1;
  double fall = 1;
  for (std::size_t i = 0; i < out.soft.size(); ++i) {
    const bool next_burst = i > 0 && i % gap == 0 && i / gap < static_cast<std::size_t>(patch.bursts);
    if (next_burst) fall = 1;
    if (fall < inaudible) break;
    const double in = fall * std::min(1.0, rise * static_cast<double>(i + 1));
    const auto next = static_cast<double>(noise.next());
    const Forces white{next, next};
    const Forces sample = level * in * filter(white);
    out.soft[i] += static_cast<float>(sample[0]);
    out.hard[i] += static_cast<float>(sample[1]);
    fall *= decay;
  }
}

constexpr std::size_t ring_lanes = 16;

/// A sine that dies away: sixteen frames side by side, turned and shrunk by sixteen frames at a time.
struct DrumRing {
  std::array<float, ring_lanes> real, imaginary;
  float turn_real, turn_imaginary, soft, hard;
};

ROMANESCA_VECTOR_CLONES
void add_ring(const DrumRing* ring, float* __restrict soft, float* __restrict hard, std::size_t frames) {
  DrumRing now = *ring;
  for (std::size_t at = 0; at + ring_lanes <= frames; at += ring_lanes) {
    for (std::size_t i = 0; i < ring_lanes; ++i) {
      const float real = now.real[i];
      const float imaginary = now.imaginary[i];
      soft[at + i] += now.soft * imaginary;
      hard[at + i] += now.hard * imaginary;
      now.real[i] = real * now.turn_real - imaginary * now.turn_imaginary;
      now.imaginary[i] = real * now.turn_imaginary + imaginary * now.turn_real;
    }
  }
}

void add_metal(const DrumMetal& metal, std::uint32_t seed, double sample_rate_hz, DrumSamples& out) {
  // Inharmonic ratios, so that no pitch is heard.
  constexpr std::array<double, 14> ratios{1.0,   1.183, 1.342, 1.531, 1.697, 1.877, 2.069,
                                          2.287, 2.513, 2.741, 3.019, 3.307, 3.618, 3.947};
  const auto sines = static_cast<std::size_t>(std::clamp(metal.sines, 1, 14));
  Noise chance(seed);
  for (std::size_t k = 0; k < sines; ++k) {
    const double step = static_cast<double>(metal.hz) * ratios[k] / sample_rate_hz;
    if (step > 0.45) break;
    const double height = static_cast<double>(k) / 14;
    // The higher, the shorter, and the more it depends on force.
    const double decay_s = static_cast<double>(metal.decay_s) * (1 - 0.5 * height);
    const double level = static_cast<double>(metal.level) / std::sqrt(static_cast<double>(sines));
    const double decay = decay_per_frame(decay_s, sample_rate_hz);
    DrumRing ring{};
    const Rotation once = rotation_of(step);
    const Rotation start = rotation_of(0.5 * static_cast<double>(chance.next()));
    double real = start.cosine;
    double imaginary = start.sine;
    double turn_real = 1;
    double turn_imaginary = 0;
    const auto turn = [&](double& re, double& im) {
      const double next = decay * (re * once.cosine - im * once.sine);
      im = decay * (re * once.sine + im * once.cosine);
      re = next;
    };
    for (std::size_t i = 0; i < ring_lanes; ++i) {
      ring.real[i] = static_cast<float>(real);
      ring.imaginary[i] = static_cast<float>(imaginary);
      turn(real, imaginary);
      turn(turn_real, turn_imaginary);
    }
    ring.turn_real = static_cast<float>(turn_real);
    ring.turn_imaginary = static_cast<float>(turn_imaginary);
    ring.soft = static_cast<float>(level * (1 - height * (1 - forces[0])));
    ring.hard = static_cast<float>(level);
    // 60 dB are almost ten halvings.
    const double audible_s = decay_s * std::max(log2_of(level / inaudible), 0.0) / 9.9658;
    const auto frames = static_cast<std::size_t>(audible_s * sample_rate_hz);
    add_ring(&ring, out.soft.data(), out.hard.data(), std::min(frames, out.soft.size()));
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

DrumSamples synthesise_drum(const DrumPatch& patch, double sample_rate_hz, std::uint32_t variant,
                            std::size_t most_frames) {
  const double seconds = 1.35 * static_cast<double>(longest_decay(patch));
  const std::size_t frames = std::min(static_cast<std::size_t>(seconds * sample_rate_hz) + 64, most_frames);
  const std::size_t whole = (frames + block_frames - 1) / block_frames * block_frames;
  DrumSamples samples{std::vector<float>(whole, 0.0f), std::vector<float>(whole, 0.0f)};
  auto seed = static_cast<std::uint32_t>(patch.key) * 2654435761U + variant * 1664525U;
  for (DrumTone tone : patch.tones) {
    if (tone.level <= 0) continue;
    tone.level *= 1 + 0.06f * Noise(++seed).next();
    add_tone(tone, forces[0], sample_rate_hz, samples.soft);
    add_tone(tone, forces[1], sample_rate_hz, samples.hard);
  }
  for (const DrumNoise& noise : patch.noises) {
    if (noise.level > 0) add_noise(patch, noise, ++seed, sample_rate_hz, samples);
  }
  if (patch.metal.level > 0) add_metal(patch.metal, ++seed, sample_rate_hz, samples);
  // The last frames fade out, so that the end does not click, unless the caller goes on there.
  const std::size_t fade = frames < most_frames ? whole / 8 : 0;
  for (std::size_t i = 0; i < whole; ++i) {
    const std::size_t left = whole - 1 - i;
    const float gain = (left < fade ? static_cast<float>(left) / static_cast<float>(fade) : 1.0f) * patch.level;
    samples.soft[i] *= gain;
    samples.hard[i] *= gain;
  }
  return samples;
}

}  // namespace romanesca
