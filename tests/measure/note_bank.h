#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "synth/hearing/pitch_spectrum.h"
#include "tests/measure/solo.h"

namespace romanesca::test {

/// Chance with a seed: the same on every machine (splitmix64: Steele, Lea & Flood, OOPSLA 2014).
class SceneRandom {
 public:
  explicit SceneRandom(std::uint64_t seed) : state_(seed) {}
  std::uint64_t bits() {
    std::uint64_t value = state_ += 0x9E3779B97F4A7C15ULL;
    value = (value ^ (value >> 30U)) * 0xBF58476D1CE4E5B9ULL;
    value = (value ^ (value >> 27U)) * 0x94D049BB133111EBULL;
    return value ^ (value >> 31U);
  }
  double uniform(double low, double high) { return low + (high - low) * static_cast<double>(bits() >> 11U) * 0x1p-53; }
  int index(int count) { return static_cast<int>(bits() % static_cast<std::uint64_t>(count)); }
  bool chance(double probability) { return uniform(0, 1) < probability; }
  /// Mean 0, deviation 1 (Box & Muller, 1958).
  double normal() {
    const double radius = std::sqrt(-2 * std::log(1 - uniform(0, 1)));
    return radius * std::cos(2 * M_PI * uniform(0, 1));
  }

 private:
  std::uint64_t state_;
};

inline constexpr int lowest_bank_note = 28, highest_bank_note = 96;

/// Single notes of one piano at hearing_rate_hz, by MIDI number; empty where it has none.
using NoteBank = std::array<std::vector<float>, 128>;

inline std::size_t bank_samples(double seconds) {
  return static_cast<std::size_t>(std::lround(seconds * hearing_rate_hz));
}

/// The instrument of the project itself: the loudest note at 1.
inline NoteBank own_piano(int velocity, InstrumentId instrument = InstrumentId::piano) {
  NoteBank bank;
  float loudest = 1e-6f;
  for (int midi = lowest_bank_note; midi <= highest_bank_note; ++midi) {
    const auto player = player_of(instrument, hearing_rate_hz);
    player->note_on(midi, velocity, static_cast<std::uint32_t>(midi), 0);
    bank[static_cast<std::size_t>(midi)] = play(*player, bank_samples(1.8));
    for (const float sample : bank[static_cast<std::size_t>(midi)]) loudest = std::max(loudest, std::abs(sample));
  }
  for (std::vector<float>& note : bank) {
    for (float& sample : note) sample /= loudest;
  }
  return bank;
}

/// Without the silence before each note: what lies below a hundredth of its peak.
inline NoteBank without_silence(NoteBank bank) {
  for (std::vector<float>& note : bank) {
    float peak = 0;
    for (const float sample : note) peak = std::max(peak, std::abs(sample));
    note.erase(note.begin(),
               std::find_if(note.begin(), note.end(), [&](float sample) { return std::abs(sample) > 0.01f * peak; }));
  }
  return bank;
}

/// With attacks that last a little longer, as of other hammers. @param seconds 0 to 0.02
inline NoteBank with_soft_attacks(NoteBank bank, double seconds) {
  const std::size_t count = bank_samples(seconds);
  for (std::vector<float>& note : bank) {
    for (std::size_t i = 0; i < std::min(count, note.size()); ++i)
      note[i] *= static_cast<float>(i) / static_cast<float>(count);
  }
  return bank;
}

/// A note that a student plays.
struct PlayedNote {
  double at_s = 0, length_s = 1;
  int midi = 60;
  double gain = 1;
};

/// The notes of a bank added up; each is damped within a tenth of a second after its length.
inline void add_notes(std::vector<float>& sound, const std::vector<PlayedNote>& notes, const NoteBank& bank) {
  const double damping = std::exp(-1 / (0.03 * hearing_rate_hz));
  for (const PlayedNote& note : notes) {
    const std::vector<float>& source = bank[static_cast<std::size_t>(note.midi)];
    const std::size_t begin = bank_samples(std::max(note.at_s, 0.0));
    const std::size_t held = bank_samples(std::max(note.length_s, 0.02));
    double gain = note.gain;
    for (std::size_t i = 0; i < source.size() && begin + i < sound.size() && gain > 1e-4; ++i) {
      if (i > held) gain *= damping;
      sound[begin + i] += static_cast<float>(gain * static_cast<double>(source[i]));
    }
  }
}

}  // namespace romanesca::test
