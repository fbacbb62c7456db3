#include "synth/sound/drum_sounds.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "synth/sound/noise.h"

namespace romanesca {
namespace {

// Set by ear and by looking at spectra; no source. Keys: General MIDI System Level 1.
constexpr std::array<DrumRecipe, 17> recipes{{
    {36, 52, 120, 0.022f, 1.0f, 0.45f, 0.10f, 0.015f, 800, 6000, 0, 0, 0.1f, 1, 0, 1.0f},         // kick
    {37, 1650, 300, 0.004f, 0.5f, 0.05f, 0.5f, 0.035f, 1200, 6000, 0, 0, 0.1f, 1, 0, 0.45f},      // side stick
    {38, 185, 60, 0.015f, 0.6f, 0.16f, 0.75f, 0.22f, 900, 9000, 0.10f, 330, 0.12f, 1, 0, 0.62f},  // snare
    {39, 0, 0, 0.02f, 0, 0.1f, 1.0f, 0.16f, 800, 3200, 0, 0, 0.1f, 3, 0, 0.55f},                  // clap
    {41, 82, 50, 0.03f, 1.0f, 0.55f, 0.12f, 0.05f, 300, 3000, 0, 0, 0.1f, 1, 0, 0.7f},            // low tom
    {42, 0, 0, 0.02f, 0, 0.1f, 0.8f, 0.06f, 6500, 15000, 0.35f, 3100, 0.05f, 1, 1, 0.34f},        // closed hat
    {44, 0, 0, 0.02f, 0, 0.1f, 0.8f, 0.045f, 5000, 12000, 0.2f, 2700, 0.04f, 1, 1, 0.26f},        // pedal hat
    {45, 118, 60, 0.03f, 1.0f, 0.48f, 0.12f, 0.05f, 300, 3500, 0, 0, 0.1f, 1, 0, 0.65f},          // mid tom
    {46, 0, 0, 0.02f, 0, 0.1f, 0.8f, 0.5f, 6000, 15000, 0.4f, 3100, 0.45f, 1, 1, 0.34f},          // open hat
    {49, 0, 0, 0.02f, 0, 0.1f, 0.9f, 1.5f, 3000, 14000, 0.4f, 1900, 1.1f, 1, 0, 0.42f},           // crash
    {50, 165, 70, 0.03f, 1.0f, 0.4f, 0.12f, 0.05f, 300, 4000, 0, 0, 0.1f, 1, 0, 0.6f},            // high tom
    {51, 0, 0, 0.02f, 0, 0.1f, 0.4f, 0.5f, 5000, 14000, 0.6f, 2300, 0.7f, 1, 0, 0.30f},           // ride
    {54, 0, 0, 0.02f, 0, 0.1f, 0.7f, 0.16f, 6000, 15000, 0.5f, 4200, 0.14f, 1, 0, 0.28f},         // tambourine
    {56, 0, 0, 0.02f, 0, 0.1f, 0.05f, 0.02f, 1000, 6000, 1.0f, 560, 0.14f, 1, 0, 0.30f},          // bell
    {70, 0, 0, 0.02f, 0, 0.1f, 0.8f, 0.07f, 4500, 12000, 0, 0, 0.1f, 1, 0, 0.30f},                // shaker
    {76, 1320, 60, 0.004f, 1.0f, 0.09f, 0.15f, 0.01f, 1500, 6000, 0, 0, 0.1f, 1, 0, 0.55f},       // high block
    {77, 880, 50, 0.004f, 1.0f, 0.09f, 0.15f, 0.01f, 1000, 5000, 0, 0, 0.1f, 1, 0, 0.55f},        // low block
}};

/// 60 dB in the time given, per frame.
float keep_of(float decay_s, double sample_rate_hz) {
  return static_cast<float>(std::exp(-6.907755 / (decay_s * sample_rate_hz)));
}

/// Smoothing factor of a one-pole lowpass.
float smoothing(float cutoff_hz, double sample_rate_hz) {
  return static_cast<float>(1 - std::exp(-6.2831853 * std::min(cutoff_hz / sample_rate_hz, 0.45)));
}

void add_tone(const DrumRecipe& r, double sample_rate_hz, std::vector<float>& out) {
  float level = r.tone;
  const float keep = keep_of(r.tone_decay_s, sample_rate_hz);
  const double glide_keep = std::exp(-1.0 / (r.glide_s * sample_rate_hz));
  double glide = r.glide_hz;
  double phase = 0;
  for (float& sample : out) {
    sample += level * static_cast<float>(std::sin(6.283185307 * phase));
    phase += (r.tone_hz + glide) / sample_rate_hz;
    glide *= glide_keep;
    level *= keep;
  }
}

void add_noise(const DrumRecipe& r, float force, double sample_rate_hz, std::vector<float>& out) {
  Noise noise(static_cast<std::uint32_t>(r.key) * 2654435761U);
  const float high = smoothing(r.noise_high_hz * (0.5f + 0.5f * force), sample_rate_hz);
  const float low = smoothing(r.noise_low_hz, sample_rate_hz);
  const float keep = keep_of(r.noise_decay_s, sample_rate_hz);
  const auto gap = static_cast<std::size_t>(0.011 * sample_rate_hz);
  float smooth = 0;
  float base = 0;
  float base_again = 0;
  float level = r.noise;
  for (std::size_t i = 0; i < out.size(); ++i) {
    const bool next_hand = r.bursts > 1 && i > 0 && i % gap == 0 && i / gap < static_cast<std::size_t>(r.bursts);
    level = next_hand ? r.noise : level * keep;
    smooth += high * (noise.next() - smooth);
    base += low * (smooth - base);
    base_again += low * (smooth - base - base_again);
    out[i] += level * (smooth - base - base_again);
  }
}

void add_metal(const DrumRecipe& r, float force, double sample_rate_hz, std::vector<float>& out) {
  // Ratios of no common measure, so that no pitch is heard.
  constexpr std::array<double, 6> ratios{1.0, 1.342, 1.531, 1.877, 2.513, 3.019};
  for (std::size_t k = 0; k < ratios.size(); ++k) {
    const double step = r.metal_hz * ratios[k] / sample_rate_hz;
    if (step > 0.45) continue;
    float level = r.metal / 6 * (k < 2 ? 1.0f : 0.4f + 0.6f * force);
    const float keep = keep_of(r.metal_decay_s, sample_rate_hz);
    double phase = 0;
    for (float& sample : out) {
      sample += level * static_cast<float>(std::sin(6.283185307 * phase));
      phase += step;
      level *= keep;
    }
  }
}

}  // namespace

std::span<const DrumRecipe> drum_recipes() noexcept { return recipes; }

const DrumRecipe& drum_recipe(int key) noexcept {
  // General MIDI percussion by kind, for keys that have no recipe of their own.
  constexpr std::array<std::array<int, 2>, 24> kin{{{35, 36}, {40, 38}, {43, 41}, {47, 45}, {48, 50}, {52, 49},
                                                    {53, 51}, {55, 49}, {57, 49}, {59, 51}, {58, 54}, {60, 50},
                                                    {61, 45}, {62, 50}, {63, 50}, {64, 41}, {65, 50}, {66, 45},
                                                    {67, 56}, {68, 56}, {69, 70}, {75, 76}, {80, 54}, {81, 54}}};
  for (const auto& [from, to] : kin) {
    if (from == key) key = to;
  }
  const auto found = std::min_element(recipes.begin(), recipes.end(), [&](const DrumRecipe& a, const DrumRecipe& b) {
    return std::abs(a.key - key) < std::abs(b.key - key);
  });
  return *found;
}

std::vector<float> drum_sound(const DrumRecipe& recipe, float force, double sample_rate_hz) {
  const float longest =
      std::max({recipe.tone > 0 ? recipe.tone_decay_s : 0, recipe.noise > 0 ? recipe.noise_decay_s : 0,
                recipe.metal > 0 ? recipe.metal_decay_s : 0});
  std::vector<float> samples(static_cast<std::size_t>(1.35 * longest * sample_rate_hz) + 64, 0.0f);
  if (recipe.tone > 0) add_tone(recipe, sample_rate_hz, samples);
  if (recipe.noise > 0) add_noise(recipe, force, sample_rate_hz, samples);
  if (recipe.metal > 0) add_metal(recipe, force, sample_rate_hz, samples);
  // No offset (a one-pole band leaves a trace of one), and the last frames fade so that the end is no step.
  float mean = 0;
  for (const float sample : samples) mean += sample / static_cast<float>(samples.size());
  const auto fade = samples.size() / 8;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const std::size_t left = samples.size() - 1 - i;
    const float gain = left < fade ? static_cast<float>(left) / static_cast<float>(fade) : 1.0f;
    samples[i] = (samples[i] - mean) * gain * recipe.level;
  }
  return samples;
}

}  // namespace romanesca
