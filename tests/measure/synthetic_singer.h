#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "tests/measure/note_bank.h"

namespace romanesca::test {

/// How a tune is sung. The ranges are judgement, from common knowledge of phonetics and of children's singing; nothing
/// of it was fitted to recordings of people.
struct SingerSettings {
  double out_of_tune_cents = 20;  ///< standard deviation of each note
  double drift_cents = 30;        ///< how far the whole voice sinks or rises over the tune, at most
  double legato_chance = 0.35;    ///< of a note that begins without a consonant, by a glide
  double scoop_chance = 0.25;     ///< of a note that begins lower
  double timing_s = 0.012;        ///< standard deviation of each beginning
};

namespace singer_detail {

/// Centres of the first three resonances in Hz: a, e, i, o, u of an adult (from memory of phonetics textbooks).
constexpr std::array<std::array<double, 3>, 5> vowels{
    {{750, 1200, 2600}, {450, 1900, 2600}, {300, 2250, 3000}, {450, 850, 2600}, {320, 750, 2500}}};

inline double resonance_gain(double hz, const std::array<double, 3>& centres, double size) {
  double gain = 0.02;
  for (std::size_t k = 0; k < centres.size(); ++k) {
    const double width = 90.0 + 30.0 * static_cast<double>(k);
    const double off = (hz - centres[k] * size) / width;
    gain += 1.0 / (1 + off * off) / static_cast<double>(k + 1);
  }
  return gain;
}

enum class Consonant { none, nasal, stop, hiss };

}  // namespace singer_detail

/// When notes were sung.
struct SungBeginnings {
  std::vector<double> all_s;    ///< of each note
  std::vector<double> pitches;  ///< that were sung: 69 is 440 Hz
  std::vector<bool> by_glides;  ///< whether it began by a glide
};

/// A voice that sings notes: harmonics under resonances, with vibrato, glides, scoops, consonants and breath.
/// @param notes one after the other; where a note begins is the beginning of its vowel, or the middle of a glide
/// @return the true beginnings, as they were sung
inline SungBeginnings add_sung_notes(std::vector<float>& sound, const std::vector<PlayedNote>& notes,
                                     const SingerSettings& settings, SceneRandom& random) {
  using namespace singer_detail;
  struct Sung {
    double begin_s, end_s, midi, vibrato_cents, vibrato_hz, scoop_cents, glide_s;
    Consonant consonant;
    double consonant_s, loudness;
    std::size_t vowel;
  };
  const double size = random.uniform(1.0, 1.25);  // of the resonances: an adult to a child
  const double drift = random.uniform(-settings.drift_cents, settings.drift_cents) / 100;
  std::vector<Sung> sung;
  SungBeginnings begins;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const PlayedNote& note = notes[i];
    Sung one{};
    one.begin_s = std::max(0.1, note.at_s + settings.timing_s * random.normal());
    one.end_s = note.at_s + note.length_s;
    one.midi = note.midi + settings.out_of_tune_cents / 100 * random.normal() +
               drift * static_cast<double>(i) / static_cast<double>(notes.size());
    const bool vibrato = note.length_s > 0.4 && random.chance(0.5);
    one.vibrato_cents = vibrato ? random.uniform(15, 60) : random.uniform(0, 8);
    one.vibrato_hz = random.uniform(4.8, 6.5);
    one.scoop_cents = random.chance(settings.scoop_chance) ? random.uniform(-150, -40) : 0;
    const bool follows = i > 0 && note.at_s - notes[i - 1].at_s - notes[i - 1].length_s < 0.08;
    const bool other = i > 0 && notes[i - 1].midi != note.midi;
    if (follows && other && random.chance(settings.legato_chance)) {
      one.consonant = Consonant::none;
      one.glide_s = random.uniform(0.04, 0.11);
      one.scoop_cents = 0;
    } else {
      one.consonant = static_cast<Consonant>(1 + random.index(3));
      one.consonant_s = one.consonant == Consonant::stop ? random.uniform(0.03, 0.07) : random.uniform(0.04, 0.1);
    }
    one.loudness = note.gain * std::pow(10, random.uniform(-4, 0) / 20);
    one.vowel = static_cast<std::size_t>(random.index(5));
    if (!sung.empty() && (follows || sung.back().end_s > one.begin_s - one.consonant_s))
      sung.back().end_s = one.begin_s - one.consonant_s;
    begins.all_s.push_back(one.begin_s);
    begins.pitches.push_back(one.midi);
    begins.by_glides.push_back(one.consonant == Consonant::none);
    sung.push_back(one);
  }
  double phase = 0;
  double shimmer = 0;
  double hiss_before = 0;
  std::array<double, 60> gains{};
  const auto samples_from = [](double seconds) { return bank_samples(std::max(seconds, 0.0)); };
  for (std::size_t n = 0; n < sung.size(); ++n) {
    const Sung& note = sung[n];
    const bool joined = n > 0 && note.consonant == Consonant::none;
    const double from_s = joined ? note.begin_s : note.begin_s - note.consonant_s;
    const double next_glide = n + 1 < sung.size() && sung[n + 1].consonant == Consonant::none ? sung[n + 1].glide_s : 0;
    for (std::size_t at = samples_from(from_s); at < samples_from(note.end_s) && at < sound.size(); ++at) {
      const double now = static_cast<double>(at) / hearing_rate_hz;
      const double since = now - note.begin_s;
      double midi = note.midi;
      if (note.scoop_cents != 0) midi += note.scoop_cents / 100 * std::exp(-std::max(since, 0.0) / 0.04);
      if (since > 0.15) midi += note.vibrato_cents / 100 * std::sin(2 * M_PI * note.vibrato_hz * (since - 0.15));
      // Half of a glide lies before the beginning, half after it.
      if (joined && since < note.glide_s / 2) {
        const double share = 0.5 - 0.5 * std::cos(M_PI * (since / note.glide_s + 0.5));
        midi = sung[n - 1].midi + share * (midi - sung[n - 1].midi);
      }
      if (next_glide > 0 && sung[n + 1].begin_s - now < next_glide / 2) {
        const double share = 0.5 - 0.5 * std::cos(M_PI * ((now - sung[n + 1].begin_s) / next_glide + 0.5));
        midi += share * (sung[n + 1].midi - midi);
      }
      shimmer += 0.002 * (random.normal() - shimmer);
      const double hz = 440 * std::exp2((midi + shimmer - 69) / 12);
      phase += hz / hearing_rate_hz;
      phase -= std::floor(phase);
      const bool before_vowel = since < 0;
      double voice = note.loudness;
      double noise = 0.004 * note.loudness;
      if (before_vowel && note.consonant == Consonant::nasal) voice *= 0.3;
      if (before_vowel && note.consonant == Consonant::stop) {
        voice = 0;
        noise = since > -0.012 ? 0.2 * note.loudness : 0;
      }
      if (before_vowel && note.consonant == Consonant::hiss) {
        voice = 0;
        noise = 0.12 * note.loudness;
      }
      if (!before_vowel && !joined && since < 0.03 && note.consonant != Consonant::nasal) voice *= since / 0.03;
      const double left_s = note.end_s - now;
      const bool breaks_off = n + 1 == sung.size() || sung[n + 1].consonant != Consonant::none;
      if (breaks_off && left_s < 0.04) voice *= left_s / 0.04;
      double sample = 0;
      const auto count = std::min<std::size_t>(gains.size(), static_cast<std::size_t>(9000 / hz));
      if (at % 64 == 0 || at == samples_from(from_s)) {
        const bool nasal = before_vowel && note.consonant == Consonant::nasal;
        for (std::size_t k = 0; k < count; ++k) {
          const double harmonic = hz * static_cast<double>(k + 1);
          const double tilt = 1 / (1 + std::pow(harmonic / 500, 1.2));
          gains[k] = tilt * (nasal ? 1 / (1 + std::pow(harmonic / 350, 2))
                                   : resonance_gain(harmonic, vowels[note.vowel], size));
        }
      }
      if (voice > 0) {
        // sin((k + 1) x) = 2 cos(x) sin(k x) - sin((k - 1) x)
        const double twice = 2 * std::cos(2 * M_PI * phase);
        double here = std::sin(2 * M_PI * phase);
        double last = 0;
        for (std::size_t k = 0; k < count; ++k) {
          sample += gains[k] * here;
          const double next = twice * here - last;
          last = here;
          here = next;
        }
      }
      const double white = random.uniform(-1, 1);
      const double hiss = white - 0.7 * hiss_before;
      hiss_before = white;
      sound[at] += static_cast<float>(0.4 * voice * sample + noise * hiss);
    }
  }
  return begins;
}

}  // namespace romanesca::test
