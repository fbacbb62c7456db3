#include "synth/hearing/voice_pitch.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "synth/hearing/fourier.h"

namespace romanesca {
namespace {

constexpr std::size_t summed = 800;  // samples over which periods are compared: 36 ms
constexpr auto longest_period = static_cast<std::size_t>(hearing_rate_hz / lowest_voice_hz) + 2;
constexpr auto shortest_period = static_cast<std::size_t>(hearing_rate_hz / highest_voice_hz);
constexpr std::size_t voice_block = summed + longest_period;

constexpr double usual_roughness = 0.4, roughness_spread = 0.06;  // half of the sounds so rough have no pitch
constexpr double distinct = 0.06;         // a difference that makes a candidate less likely by the factor e
constexpr double longer_cost = 0.7;       // of a period twice as long, which repeats as well
constexpr double between_samples = 0.25;  // of the bend of a minimum there, which the parabola leaves out
constexpr double most_behind = 0.25;      // of a candidate's difference, behind the best
constexpr std::size_t most_candidates = 6;

constexpr double jump_cost = 1.2, most_jump_cost = 6;  // a semitone from one frame to the next; any
constexpr double voicing_cost = 2.5;                   // of a beginning or an end

double level_in_db(double mean_square) { return 10 * std::log10(mean_square + 1e-12); }

struct PitchCandidate {
  float midi = 0, probability = 0, clarity = 0;
};

/// The candidates of a frame, in order of their periods.
struct PitchCandidates {
  std::array<PitchCandidate, most_candidates> all{};
  std::size_t count = 0;
  float level_db = -120;

  void add(const PitchCandidate& candidate) {
    if (count < most_candidates) {
      all[count++] = candidate;
      return;
    }
    const auto least = std::min_element(all.begin(), all.end(),
                                        [](const auto& a, const auto& b) { return a.probability < b.probability; });
    if (least->probability < candidate.probability) *least = candidate;
  }
  [[nodiscard]] double voiced() const {
    double sum = 0;
    for (std::size_t i = 0; i < count; ++i) sum += static_cast<double>(all[i].probability);
    return sum;
  }
};

/// Compares a block with itself, later by each period.
class PeriodFinder {
 public:
  PeriodFinder() : fourier_(2048), real_(2048), imaginary_(2048) { static_assert(voice_block <= 2048); }

  /// @param block voice_block samples
  PitchCandidates candidates(std::span<const float> block) {
    PitchCandidates found;
    double energy = 0;
    for (std::size_t i = 0; i < summed; ++i)
      energy += static_cast<double>(block[i + longest_period / 2] * block[i + longest_period / 2]);
    found.level_db = static_cast<float>(level_in_db(energy / summed));
    if (found.level_db < -90) return found;
    measure(block);
    gather(found);
    return found;
  }

 private:
  /// The normalised difference of YIN, equation 8, from equation 7 by correlation.
  void measure(std::span<const float> block) {
    std::fill(real_.begin(), real_.end(), 0.0f);
    std::fill(imaginary_.begin(), imaginary_.end(), 0.0f);
    std::copy(block.begin(), block.begin() + summed, real_.begin());
    std::copy(block.begin(), block.end(), imaginary_.begin());
    fourier_.transform(real_.data(), imaginary_.data());
    multiply();
    fourier_.transform(imaginary_.data(), real_.data());  // the inverse, by exchanged parts
    double first = 0;
    for (std::size_t i = 0; i < summed; ++i) first += static_cast<double>(block[i]) * static_cast<double>(block[i]);
    double later = first;
    double sum = 0;
    difference_[0] = 1;
    for (std::size_t period = 1; period < longest_period; ++period) {
      const auto leaves = static_cast<double>(block[period - 1]);
      const auto comes = static_cast<double>(block[period - 1 + summed]);
      later += comes * comes - leaves * leaves;
      const double raw = std::max(0.0, first + later - 2 * static_cast<double>(real_[period]) / 2048);
      sum += raw;
      difference_[period] = sum > 0 ? raw * static_cast<double>(period) / sum : 1;
    }
  }

  /// From the spectrum of a + ib to that of the correlation of a with b.
  void multiply() {
    const std::size_t size = real_.size();
    for (std::size_t k = 0; k <= size / 2; ++k) {
      const std::size_t mirrored = (size - k) % size;
      const double ar = 0.5 * static_cast<double>(real_[k] + real_[mirrored]);
      const double ai = 0.5 * static_cast<double>(imaginary_[k] - imaginary_[mirrored]);
      const double br = 0.5 * static_cast<double>(imaginary_[k] + imaginary_[mirrored]);
      const double bi = -0.5 * static_cast<double>(real_[k] - real_[mirrored]);
      const double r = ar * br + ai * bi;
      const double i = ar * bi - ai * br;
      real_[k] = real_[mirrored] = static_cast<float>(r);
      imaginary_[k] = static_cast<float>(i);
      imaginary_[mirrored] = static_cast<float>(-i);
    }
  }

  /// The minima of the difference, by how deep they are and how short their period is.
  void gather(PitchCandidates& found) {
    minima_.clear();
    double lowest = 1;
    for (std::size_t period = std::max<std::size_t>(shortest_period, 2); period + 1 < longest_period; ++period) {
      if (difference_[period] > difference_[period - 1] || difference_[period] >= difference_[period + 1]) continue;
      minima_.push_back(minimum_at(period));
      lowest = std::min(lowest, minima_.back().depth);
    }
    double sum = 0;
    for (const Minimum& minimum : minima_) {
      if (minimum.depth > lowest + most_behind) continue;
      const double cost = (minimum.depth - lowest) / distinct + longer_cost * std::log2(minimum.period);
      const double midi = 69 + 12 * std::log2(hearing_rate_hz / minimum.period / 440);
      found.add({static_cast<float>(midi), static_cast<float>(std::exp(-cost)),
                 static_cast<float>(std::clamp(1 - minimum.depth, 0.0, 1.0))});
    }
    for (std::size_t i = 0; i < found.count; ++i) sum += static_cast<double>(found.all[i].probability);
    const double voiced = 1 / (1 + std::exp((lowest - usual_roughness) / roughness_spread));
    for (std::size_t i = 0; i < found.count; ++i) found.all[i].probability *= static_cast<float>(voiced / sum);
  }

  struct Minimum {
    double period, depth;
  };

  /// Through three values; a short period lies between two samples, where the parabola is not deep enough.
  [[nodiscard]] Minimum minimum_at(std::size_t period) const {
    const double before = difference_[period - 1];
    const double here = difference_[period];
    const double after = difference_[period + 1];
    const double bend = before - 2 * here + after;
    const double shift = bend > 0 ? std::clamp(0.5 * (before - after) / bend, -0.5, 0.5) : 0;
    return {static_cast<double>(period) + shift,
            std::max(0.0, here - 0.25 * (before - after) * shift - between_samples * bend * std::abs(shift))};
  }

  Fourier fourier_;
  std::vector<float> real_, imaginary_;
  std::array<double, longest_period> difference_{};
  std::vector<Minimum> minima_;
};

/// The line through the candidates that is likeliest: each frame takes one of them, or none.
std::vector<PitchFrame> line_through(const std::vector<PitchCandidates>& frames) {
  constexpr std::size_t states = most_candidates + 1;  // the last: no pitch
  std::vector<std::array<std::uint8_t, states>> before(frames.size());
  std::array<double, states> cost{};
  for (std::size_t i = 0; i < frames.size(); ++i) {
    const PitchCandidates& frame = frames[i];
    std::array<double, states> next{};
    for (std::size_t to = 0; to < states; ++to) {
      const bool voiced = to < most_candidates;
      if (voiced && to >= frame.count) {
        next[to] = 1e9;
        continue;
      }
      double best = 1e18;
      for (std::size_t from = 0; from < states; ++from) {
        double value = cost[from];
        const bool was_voiced = from < most_candidates;
        if (i > 0 && was_voiced != voiced) value += voicing_cost;
        if (i > 0 && was_voiced && voiced) {
          const float step = from < frames[i - 1].count ? frame.all[to].midi - frames[i - 1].all[from].midi : 99;
          value += std::min(jump_cost * static_cast<double>(std::abs(step)), most_jump_cost);
        }
        if (value >= best) continue;
        best = value;
        before[i][to] = static_cast<std::uint8_t>(from);
      }
      const double probability = voiced ? static_cast<double>(frame.all[to].probability) : 1 - frame.voiced();
      next[to] = best - std::log(std::max(probability, 1e-3));
    }
    cost = next;
  }
  std::vector<PitchFrame> line(frames.size());
  auto at = static_cast<std::size_t>(std::min_element(cost.begin(), cost.end()) - cost.begin());
  for (std::size_t i = frames.size(); i-- > 0;) {
    line[i].level_db = frames[i].level_db;
    if (at < most_candidates) {
      line[i].voiced = true;
      line[i].midi = frames[i].all[at].midi;
      line[i].clarity = frames[i].all[at].clarity;
    }
    at = before[i][at];
  }
  return line;
}

}  // namespace

std::vector<PitchFrame> voice_pitch(std::span<const float> sound) {
  PeriodFinder finder;
  std::vector<PitchCandidates> frames(sound.size() / PitchFrame::hop + 1);
  std::vector<float> block(voice_block);
  for (std::size_t i = 0; i < frames.size(); ++i) {
    const auto begin = static_cast<std::ptrdiff_t>(i * PitchFrame::hop) - static_cast<std::ptrdiff_t>(voice_block / 2);
    for (std::size_t k = 0; k < voice_block; ++k) {
      const std::ptrdiff_t at = begin + static_cast<std::ptrdiff_t>(k);
      block[k] = at >= 0 && at < static_cast<std::ptrdiff_t>(sound.size()) ? sound[static_cast<std::size_t>(at)] : 0;
    }
    frames[i] = finder.candidates(block);
  }
  return line_through(frames);
}

}  // namespace romanesca
