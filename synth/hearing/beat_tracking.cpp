#include "synth/hearing/beat_tracking.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

constexpr double slowest_beats = 40, fastest_beats = 220;
constexpr double usual_beats = 92;  // centre of the bell over tempo
constexpr double evenness = 200;    // cost of the squared logarithm of a beat's length
constexpr double low_share = 0.5;   // how much the left hand counts beside the whole

/// Autocorrelation up to three seconds and a half.
std::vector<double> autocorrelation(const std::vector<float>& values) {
  const auto longest = std::min(values.size(), static_cast<std::size_t>(6.2 * OnsetStrength::frames_per_second));
  double mean = 0;
  for (const float value : values) mean += static_cast<double>(value);
  mean /= static_cast<double>(std::max<std::size_t>(values.size(), 1));
  std::vector<double> result(longest);
  for (std::size_t lag = 0; lag < longest; ++lag) {
    double sum = 0;
    for (std::size_t i = lag; i < values.size(); ++i)
      sum += (static_cast<double>(values[i]) - mean) * (static_cast<double>(values[i - lag]) - mean);
    result[lag] = sum / static_cast<double>(values.size() - lag);
  }
  for (std::size_t lag = longest; lag-- > 0;) result[lag] /= result[0] + 1e-9;
  return result;
}

}  // namespace

std::vector<TempoGuess> tempo_guesses(const OnsetStrength& onsets, std::size_t most, std::optional<double> stated,
                                      double octaves) {
  const std::vector<double> repeats = autocorrelation(onsets.all);
  const auto at = [&](double lag) {
    const auto whole = static_cast<std::size_t>(lag);
    if (whole + 1 >= repeats.size()) return 0.0;
    const double share = lag - static_cast<double>(whole);
    return repeats[whole] * (1 - share) + repeats[whole + 1] * share;
  };
  const double low = stated ? *stated / 1.12 : slowest_beats;
  const double high = stated ? *stated * 1.12 : fastest_beats;
  const double centre = stated.value_or(usual_beats);
  const double width = stated ? 0.06 : octaves;
  std::vector<TempoGuess> all;
  for (int i = 0; i < 400; ++i) {
    const double bpm = low * std::pow(high / low, i / 399.0);
    const double lag = 60 * OnsetStrength::frames_per_second / bpm;
    const double distance = std::log2(bpm / centre) / width;
    const double repeat = at(lag) + 0.5 * at(2 * lag) + 0.25 * at(4 * lag);
    all.push_back({bpm, std::max(repeat, 1e-4) * std::exp(-0.5 * distance * distance)});
  }
  std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.strength > b.strength; });
  std::vector<TempoGuess> best;
  for (const TempoGuess& guess : all) {
    const bool is_new = std::all_of(best.begin(), best.end(), [&](const TempoGuess& other) {
      return std::abs(std::log2(guess.bpm / other.bpm)) > 0.084;
    });
    if (is_new) best.push_back(guess);
    if (best.size() == (stated ? 1 : most)) break;
  }
  return best;
}

std::vector<double> track_beats(const OnsetStrength& onsets, double bpm, double most_cost) {
  const std::size_t count = onsets.all.size();
  const double period = 60 * OnsetStrength::frames_per_second / bpm;
  const auto shortest = std::max<std::size_t>(1, static_cast<std::size_t>(period * 0.6));
  const auto longest = static_cast<std::size_t>(period * 1.9);
  std::vector<double> costs;
  for (std::size_t step = shortest; step <= longest; ++step) {
    const double ratio = std::log(static_cast<double>(step) / period);
    costs.push_back(std::min(evenness * ratio * ratio, ratio > 0 ? most_cost : 1e9));
  }
  std::vector<double> score(count);
  std::vector<std::size_t> before(count, count);
  for (std::size_t i = 0; i < count; ++i) {
    score[i] = static_cast<double>(onsets.all[i]) + low_share * static_cast<double>(onsets.low[i]);
    double best = 0;
    for (std::size_t step = shortest; step <= longest && step <= i; ++step) {
      const double value = score[i - step] - costs[step - shortest];
      if (value <= best) continue;
      best = value;
      before[i] = i - step;
    }
    score[i] += best;
  }
  if (count == 0) return {};
  const std::size_t tail = count - std::min(count, static_cast<std::size_t>(period) + 1);
  auto last = static_cast<std::size_t>(
      std::max_element(score.begin() + static_cast<std::ptrdiff_t>(tail), score.end()) - score.begin());
  std::vector<double> beats;
  for (; last < count; last = before[last]) {
    beats.push_back(static_cast<double>(last) / OnsetStrength::frames_per_second);
  }
  std::reverse(beats.begin(), beats.end());
  return beats;
}

}  // namespace romanesca
