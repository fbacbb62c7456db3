#include "theory/harmony/tune_key.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "theory/harmony/harmony_path.h"

namespace romanesca {
namespace {

// How often each degree, in semitones above the tonic, is a note of a melody in major and in minor: Temperley, "Music
// and Probability", 2007, chapter 4, counted there in the Essen collection of folk songs (from memory).
constexpr std::array<double, 12> major_profile{0.184, 0.001, 0.155, 0.003, 0.191, 0.109,
                                               0.005, 0.214, 0.001, 0.078, 0.004, 0.055};
constexpr std::array<double, 12> minor_profile{0.192, 0.005, 0.149, 0.179, 0.002, 0.144,
                                               0.002, 0.201, 0.038, 0.012, 0.053, 0.022};
/// A note as rare as the rarest of the profile may be a slip: no note is less likely than this.
constexpr double least_chance = 0.004;
/// Notes that follow each other are no independent witnesses, and both kinds of evidence come from the same notes: of a
/// tune of 32 notes or more an eighth of each counts, of a shorter one more.
double evidence_share(std::size_t notes) {
  return std::max(0.125, 0.7 / std::sqrt(static_cast<double>(std::max<std::size_t>(notes, 1))));
}
/// Songs in major are several times as many as those in minor (402 and 67 in the corpora of chord_palette.cpp).
const double minor_cost = std::log(402.0 / 67.0);

/// A note outside the chord as unlikely as it is: see HarmonyWeights.
HarmonyWeights likelihood_weights() {
  HarmonyWeights weights;
  weights.foreign_note = 180;
  weights.seventh = 60;
  weights.led_past = 0;
  return weights;
}

double profile_cost(const std::array<double, 12>& lengths, int tonic, bool minor) {
  double cost = 0;
  for (std::size_t i = 0; i < 12; ++i) {
    const std::size_t above = (i + 12 - static_cast<std::size_t>(tonic)) % 12;
    cost -= lengths[i] * std::log(std::max(least_chance, (minor ? minor_profile : major_profile)[above]));
  }
  return cost;
}

/// Pulses that each sounding class lasts, no note counted longer than two.
std::array<double, 12> lengths_of(const Tune& tune, const MeterMap& meters) {
  std::array<double, 12> lengths{};
  const double pulse = meters.first().pulse_length().quarters();
  for (const TuneNote& note : tune.notes) {
    lengths[static_cast<std::size_t>(note.pitch.name().semitone())] += std::min(2.0, note.length.quarters() / pulse);
  }
  return lengths;
}

/// It ends on the tonic and has the raised seventh going there: that is minor, however seldom songs are.
bool shows_minor(const Tune& tune, int tonic) {
  if (tune.notes.empty() || tune.notes.back().pitch.name().semitone() != tonic) return false;
  for (std::size_t i = 0; i + 1 < tune.notes.size(); ++i) {
    const int here = tune.notes[i].pitch.midi();
    if (tune.notes[i + 1].pitch.midi() == here + 1 && (here + 1 - tonic) % 12 == 0) return true;
  }
  return false;
}

}  // namespace

std::vector<TuneKeyGuess> find_tune_key(const Tune& tune, const MeterMap& meters) {
  const auto lengths = lengths_of(tune, meters);
  const auto spans = tune_spans(tune, meters, SpanSize::bar);
  HarmonyLimits limits;
  limits.applied = limits.borrowed = false;
  const HarmonyWeights likelihood = likelihood_weights();
  std::vector<TuneKeyGuess> guesses;
  std::vector<double> costs;
  for (const Mode mode : {Mode::major, Mode::minor}) {
    for (int tonic = 0; tonic < 12; ++tonic) {
      const Key key = simplest_spelling({PitchClass(((tonic * 7 + 5) % 12) - 5), mode});
      double cost = profile_cost(lengths, key.tonic.semitone(), mode == Mode::minor);
      if (!spans.empty()) cost += harmony_path(spans, palette_of(key, limits), key, likelihood).cost / 100.0;
      guesses.push_back({key, 0});
      const bool rare = mode == Mode::minor && !shows_minor(tune, key.tonic.semitone());
      costs.push_back(cost * evidence_share(tune.notes.size()) + (rare ? minor_cost : 0.0));
    }
  }
  const double least = *std::min_element(costs.begin(), costs.end());
  double sum = 0;
  for (std::size_t i = 0; i < costs.size(); ++i) {
    guesses[i].confidence = std::exp(least - costs[i]);
    sum += guesses[i].confidence;
  }
  for (TuneKeyGuess& guess : guesses) guess.confidence /= sum;
  std::stable_sort(guesses.begin(), guesses.end(),
                   [](const TuneKeyGuess& a, const TuneKeyGuess& b) { return a.confidence > b.confidence; });
  return guesses;
}

}  // namespace romanesca
