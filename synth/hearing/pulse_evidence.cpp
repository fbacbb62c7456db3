#include "synth/hearing/pulse_evidence.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {
// Weights of what speaks for a hypothesis: those of onsets found on SoundFont pianos (tests/measure/
// transcribe_figures.cpp), not on the recorded one; those of the network on songs and styles that it was fitted to.
constexpr double onset_weight = 0.25;  // of the onset at each beat
constexpr double beat_weight = 1;      // of what the network says of each beat
/// A recording may begin with its first note, whose beginning nothing shows.
constexpr double unheard_s = 0.15;
constexpr double line_weight = 0.7;  // of what either says of each bar line: the left hand's onsets, or the network

/// The greatest value near a time.
double strongest_at(const std::vector<float>& values, double at_s) {
  const auto frame = static_cast<std::ptrdiff_t>(std::lround(at_s * OnsetStrength::frames_per_second));
  double best = 0;
  for (std::ptrdiff_t i = frame - 2; i <= frame + 2; ++i) {
    if (i >= 0 && i < static_cast<std::ptrdiff_t>(values.size()))
      best = std::max(best, static_cast<double>(values[static_cast<std::size_t>(i)]));
  }
  return best;
}

double log_odds(double probability) {
  constexpr double least = 0.02;
  const double kept = std::clamp(probability, least, 1 - least);
  return std::log(kept / (1 - kept));
}

/// Divides by the deviation.
std::vector<float> scaled(std::vector<float> values) {
  double sum = 0;
  double squares = 0;
  for (const float value : values) {
    sum += static_cast<double>(value);
    squares += static_cast<double>(value) * static_cast<double>(value);
  }
  const auto count = static_cast<double>(std::max<std::size_t>(values.size(), 1));
  const double deviation = std::sqrt(std::max(0.0, squares / count - sum * sum / count / count));
  for (float& value : values) value = static_cast<float>(static_cast<double>(value) / (deviation + 1e-6));
  return values;
}

}  // namespace

PulseEvidence::PulseEvidence(const OnsetStrength& onsets, const BeatNetwork* network)
    : onsets_(onsets), network_(network != nullptr) {
  if (network == nullptr) return;
  probabilities_ = network->beats(onsets);
  heard_.all = scaled(probabilities_.beat);
  heard_.low = scaled(probabilities_.line);
}

double PulseEvidence::for_beats(const std::vector<double>& beats_s, double length_s) const {
  double score = 0;
  for (std::size_t i = 0; i < beats_s.size(); ++i) {
    if (network_) {
      if (beats_s[i] < unheard_s) continue;
      score += beat_weight * log_odds(strongest_at(probabilities_.beat, beats_s[i]));
      continue;
    }
    const double next = i + 1 < beats_s.size() ? beats_s[i + 1] : length_s;
    score += onset_weight * std::min(next - beats_s[i], 1.0) *
             (strongest_at(onsets_.all, beats_s[i]) + strongest_at(onsets_.low, beats_s[i]));
  }
  return score;
}

std::vector<float> PulseEvidence::for_lines(const std::vector<double>& beats_s) const {
  std::vector<float> evidence;
  if (network_) {
    for (const double beat : beats_s) {
      if (beat < unheard_s) {
        evidence.push_back(0);
        continue;
      }
      // Of a beat, as the network hears it, that it begins a bar.
      const double among_beats =
          strongest_at(probabilities_.line, beat) / std::max(strongest_at(probabilities_.beat, beat), 0.1);
      evidence.push_back(static_cast<float>(line_weight * log_odds(among_beats)));
    }
    return evidence;
  }
  std::vector<double> low;
  double mean = 0;
  for (const double beat : beats_s) {
    low.push_back(strongest_at(onsets_.low, beat));
    mean += low.back() / static_cast<double>(beats_s.size());
  }
  double variance = 0;
  for (const double value : low) variance += (value - mean) * (value - mean) / static_cast<double>(beats_s.size());
  for (const double value : low)
    evidence.push_back(static_cast<float>(line_weight * (value - mean) / (std::sqrt(variance) + 1e-6)));
  return evidence;
}

}  // namespace romanesca
