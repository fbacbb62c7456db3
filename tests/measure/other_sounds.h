#pragma once

#include <array>
#include <cmath>
#include <vector>

#include "tests/measure/note_bank.h"

namespace romanesca::test {

// Sounds in a room that are no piano.

/// Something like speech: syllables of a buzzing source with a gliding pitch between two resonances that move, and
/// hisses between them. Not a person; the shape of formants and durations is common knowledge of phonetics (from
/// memory).
inline std::vector<float> speech_like(std::size_t length, SceneRandom& random) {
  std::vector<float> sound(length);
  std::size_t at = 0;
  const double voice_hz = random.uniform(90, 260);
  while (at < length) {
    const std::size_t syllable = bank_samples(random.uniform(0.1, 0.3));
    const bool hiss = random.chance(0.25);
    const double from_hz = voice_hz * random.uniform(0.85, 1.2);
    const double to_hz = voice_hz * random.uniform(0.85, 1.2);
    std::array<double, 3> formant_hz{random.uniform(300, 850), random.uniform(900, 2300), random.uniform(2400, 3000)};
    std::array<std::array<double, 2>, 3> state{};
    double phase = 0;
    const double loudness = random.uniform(0.3, 1);
    for (std::size_t i = 0; i < syllable && at + i < length; ++i) {
      const double share = static_cast<double>(i) / static_cast<double>(syllable);
      phase += (from_hz + share * (to_hz - from_hz)) / hearing_rate_hz;
      double source = hiss ? 0.3 * random.uniform(-1, 1) : 0;
      if (!hiss && phase >= 1) source = 10;
      phase -= std::floor(phase);
      double out = 0;
      for (std::size_t k = 0; k < 3; ++k) {
        const double radius = std::exp(-M_PI * 90 / hearing_rate_hz);
        const double now = source + 2 * radius * std::cos(2 * M_PI * formant_hz[k] / hearing_rate_hz) * state[k][0] -
                           radius * radius * state[k][1];
        state[k][1] = state[k][0];
        state[k][0] = now;
        out += now / static_cast<double>(k + 1);
      }
      sound[at + i] = static_cast<float>(0.02 * loudness * out * std::sin(M_PI * share));
    }
    at += syllable + (random.chance(0.3) ? bank_samples(random.uniform(0.05, 0.4)) : 0);
  }
  return sound;
}

/// Knocks, clicks and steps: short bursts of noise through a resonance.
inline std::vector<float> knocks(std::size_t length, SceneRandom& random) {
  std::vector<float> sound(length);
  for (std::size_t at = bank_samples(random.uniform(0, 0.3)); at < length;
       at += bank_samples(random.uniform(0.15, 0.8))) {
    const double hz = random.uniform(80, 3000);
    const double decay = std::exp(-1 / (random.uniform(0.005, 0.06) * hearing_rate_hz));
    double gain = random.uniform(0.2, 1);
    double first = 0;
    double second = 0;
    for (std::size_t i = 0; at + i < length && gain > 1e-3; ++i) {
      gain *= decay;
      const double radius = 0.98;
      const double now = gain * random.uniform(-1, 1) + 2 * radius * std::cos(2 * M_PI * hz / hearing_rate_hz) * first -
                         radius * radius * second;
      second = first;
      first = now;
      sound[at + i] += static_cast<float>(0.2 * now);
    }
  }
  return sound;
}

/// The drums of a General MIDI kit at random on a grid of eighths.
inline std::vector<float> drum_groove(std::size_t length, SceneRandom& random) {
  const auto player = make_player(InstrumentId::drum_kit, hearing_rate_hz, KeySet().set());
  std::vector<float> left(length + 4 * block_frames), right(left.size());
  const auto eighth = static_cast<std::size_t>(hearing_rate_hz * 30 / random.uniform(70, 150) / block_frames);
  std::size_t next = 0;
  int count = 0;
  for (std::size_t block = 0; block * block_frames < length; ++block) {
    if (block == next) {
      next += eighth;
      player->note_on(count % 4 == 0   ? 36
                      : count % 4 == 2 ? 38
                                       : 42,
                      70 + random.index(40), static_cast<std::uint32_t>(random.bits()), 0);
      if (random.chance(0.5))
        player->note_on(random.chance(0.2) ? 46 : 42, 60 + random.index(40), static_cast<std::uint32_t>(random.bits()),
                        0);
      ++count;
    }
    player->add_to(left.data() + block * block_frames, right.data() + block * block_frames);
  }
  left.resize(length);
  for (std::size_t i = 0; i < length; ++i) left[i] = 0.5f * (left[i] + right[i]);
  return left;
}

/// Adds a sound at a level relative to the other's mean square.
inline void add_at_level(std::vector<float>& sound, const std::vector<float>& other, double level_db) {
  double energy = 1e-12;
  double other_energy = 1e-12;
  for (const float sample : sound) energy += static_cast<double>(sample) * static_cast<double>(sample);
  for (const float sample : other) other_energy += static_cast<double>(sample) * static_cast<double>(sample);
  const auto gain = static_cast<float>(std::sqrt(energy / other_energy) * std::pow(10, level_db / 20));
  for (std::size_t i = 0; i < sound.size() && i < other.size(); ++i) sound[i] += gain * other[i];
}

}  // namespace romanesca::test
