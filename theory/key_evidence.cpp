#include "theory/key_evidence.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <unordered_map>

#include "theory/key_profile.h"

namespace romanesca {
namespace {

// Fitted by logistic regression over the twelve tonics of 100 rock songs and 369 chart songs with the keys that trained
// listeners gave them (the open halves of two published corpora: de Clercq & Temperley, Popular Music 30/1, 2011;
// Burgoyne, Wild & Fujinaga, ISMIR 2011). Shares are of the time that has a chord.
constexpr std::array<EvidenceWeight, evidence_count> weights{{
    {"the tones fit the profile of the key whose tonic chord sounds", 3.07, 2.91},
    {"square root of the longest stretch on the tonic's root", 8.38, 1.41},
    {"square root of the smallest share of I, IV and V", 4.49, 4.27},
    {"begins on the tonic", 1.63, 0.27},
    {"begins on V", 0.56, -0.04},
    {"ends on the tonic", 0.64, 0.19},
    {"repeated passages begin on the tonic", 1.47, 1.43},
    {"every other bar begins on the tonic's root", 2.89, 1.23},
    {"V7 while the tonic is no seventh chord", 3.00, 2.43},
    {"the tonic is a dominant seventh", -3.00, -0.45},
    {"root motion V to I", 4.80, 1.81},
    {"root motion vi to IV", 15.29, 6.91},
    {"root motion bVI to bVII", 2.43, 2.09},
    {"root motion V to vi", -8.98, -1.13},
    {"root motion II to I", -10.04, -3.44},
    {"of the motions to I those from IV", 0.39, 0.52},
    {"a major triad on VII", -1.47, -0.71},
    {"major tonic with v", -1.48, -1.73},
    {"major tonic with bVII", -0.68, 0.09},
    {"the smaller share of i and bVII", -7.23, -2.06},
}};

/// Shares and counts that the signs of all twelve tonics are read from.
struct Statistics {
  double time = 0;
  std::array<double, 12> tone_time{}, major{}, minor{}, dominant{}, longest{}, even_bars{}, repeats{};
  std::array<std::array<double, 12>, 12> motion{};  ///< share of root changes, from and to
  double even_bar_count = 0, repeat_count = 0;
  int first = -1, last = -1;
  bool first_minor = false;
};

void count_durations(std::span<const HeardChord> chords, Statistics& s) {
  double stretch = 0;
  int stretch_root = -1;
  int previous = -1;
  double changes = 0;
  for (const HeardChord& chord : chords) {
    if (!chord.sounds) {
      stretch_root = -1;
      continue;
    }
    const auto root = static_cast<std::size_t>(chord.root);
    s.time += chord.length;
    (chord.minor ? s.minor : s.major)[root] += chord.length;
    if (chord.dominant) s.dominant[root] += chord.length;
    for (std::size_t tone = 0; tone < 12; ++tone) {
      if ((chord.tones >> tone & 1U) != 0) s.tone_time[tone] += chord.length;
    }
    stretch = chord.root == stretch_root ? stretch + chord.length : chord.length;
    stretch_root = chord.root;
    s.longest[root] = std::max(s.longest[root], stretch);
    if (previous >= 0 && previous != chord.root) {
      s.motion[static_cast<std::size_t>(previous)][root] += 1;
      changes += 1;
    }
    previous = chord.root;
    if (s.first < 0) {
      s.first = chord.root;
      s.first_minor = chord.minor;
    }
    s.last = chord.root;
  }
  for (auto& row : s.motion) {
    for (double& count : row) count /= std::max(changes, 1.0);
  }
}

/// A bar for comparing: its chords as one number, the root on its first beat, and whether more than one root sounds.
struct HeardBar {
  std::uint64_t content = 0;
  int downbeat = -1;
};

std::vector<HeardBar> bars_of(std::span<const HeardChord> chords) {
  std::vector<HeardBar> bars;
  if (chords.empty()) return bars;
  const double first = std::floor(chords.front().start + 1e-9);
  for (const HeardChord& chord : chords) {
    const auto index = static_cast<std::size_t>(chord.start - first + 1e-9);
    if (bars.size() <= index) bars.resize(index + 1);
    HeardBar& bar = bars[index];
    const double within = chord.start - first - static_cast<double>(index);
    const int name = chord.sounds ? chord.root * 2 + (chord.minor ? 1 : 0) + 1 : 0;
    bar.content =
        (bar.content ^ static_cast<std::uint64_t>(name + 32 * std::lround(within * 48))) * 0x9E3779B97F4A7C15U;
    if (within < 1e-6 && chord.sounds) bar.downbeat = chord.root;
  }
  return bars;
}

/// Bars where a passage of four bars or more begins that comes back elsewhere and is not part of a longer one.
void count_repeats(const std::vector<HeardBar>& bars, Statistics& s) {
  constexpr std::size_t passage = 4;
  if (bars.size() < 2 * passage) return;
  std::unordered_map<std::uint64_t, std::vector<std::size_t>> places;
  for (std::size_t i = 0; i + passage <= bars.size(); ++i) {
    std::uint64_t hash = 0;
    bool varied = false;
    for (std::size_t k = 0; k < passage; ++k) {
      hash = (hash ^ bars[i + k].content) * 0x9E3779B97F4A7C15U;
      hash ^= hash >> 29U;
      varied = varied || bars[i + k].content != bars[i].content;
    }
    if (varied) places[hash].push_back(i);
  }
  for (const auto& [hash, starts] : places) {
    if (starts.size() < 2) continue;
    for (const std::size_t i : starts) {
      const bool begins = std::any_of(starts.begin(), starts.end(), [&](std::size_t j) {
        return i != j && (i == 0 || j == 0 || bars[i - 1].content != bars[j - 1].content);
      });
      if (!begins) continue;
      s.repeat_count += 1;
      if (bars[i].downbeat >= 0) s.repeats[static_cast<std::size_t>(bars[i].downbeat)] += 1;
    }
  }
}

Statistics statistics_of(std::span<const HeardChord> chords) {
  Statistics s;
  count_durations(chords, s);
  const std::vector<HeardBar> bars = bars_of(chords);
  for (std::size_t i = 0; i < bars.size(); i += 2) {
    if (bars[i].downbeat < 0) continue;
    s.even_bar_count += 1;
    s.even_bars[static_cast<std::size_t>(bars[i].downbeat)] += 1;
  }
  count_repeats(bars, s);
  return s;
}

Evidence evidence_for(const Statistics& s, int tonic) {
  const auto at = [&](int degree) { return static_cast<std::size_t>((tonic + degree) % 12); };
  const auto major = [&](int degree) { return s.major[at(degree)] / s.time; };
  const auto minor = [&](int degree) { return s.minor[at(degree)] / s.time; };
  const auto seventh = [&](int degree) { return s.dominant[at(degree)] / s.time; };
  const auto motion = [&](int from, int to) { return s.motion[at(from)][at(to)]; };
  const double tonic_time = major(0) + minor(0) + 0.001;
  const double majorness = major(0) / tonic_time;
  const double minorness = minor(0) / tonic_time;
  double to_tonic = 0;
  for (int from = 1; from < 12; ++from) to_tonic += motion(from, 0);
  const double fit = minorness * profile_correlation(s.tone_time, tonic, true) +
                     majorness * profile_correlation(s.tone_time, tonic, false);
  return {fit,
          std::sqrt(s.longest[at(0)] / s.time),
          std::sqrt(std::min({major(0), major(5), major(7)})),
          s.first == tonic ? 1.0 : 0.0,
          s.first == static_cast<int>(at(7)) && !s.first_minor ? 1.0 : 0.0,
          s.last == tonic ? 1.0 : 0.0,
          s.repeats[at(0)] / std::max(s.repeat_count, 1.0),
          s.even_bars[at(0)] / std::max(s.even_bar_count, 1.0),
          std::sqrt(seventh(7)) * (1 - std::sqrt(seventh(0))),
          std::sqrt(seventh(0)),
          motion(7, 0),
          motion(9, 5),
          motion(8, 10),
          motion(7, 9),
          motion(2, 0),
          motion(5, 0) / (to_tonic + 0.02),
          major(11) > 0.01 ? 1.0 : 0.0,
          majorness * std::sqrt(minor(7)),
          majorness * std::sqrt(major(10)),
          std::min(minor(0), major(10))};
}

}  // namespace

std::span<const EvidenceWeight, evidence_count> evidence_weights() noexcept { return weights; }

std::vector<HeardChord> hear(const Timeline& timeline) {
  std::vector<HeardChord> heard;
  const double bar = timeline.meter.bar_length().quarters();
  double offset = 0;
  for (const TimedChord& timed : timeline.chords) {
    if (heard.empty()) {
      if (!timed.chord) continue;
      offset = timed.bar - 1;
    }
    HeardChord chord{timed.start.quarters() / bar - offset, timed.length.quarters() / bar};
    chord.sounds = timed.chord.has_value();
    if (timed.chord) {
      chord.root = timed.chord->root.semitone();
      chord.minor = timed.chord->type.is_minor();
      chord.dominant = timed.chord->type.is_dominant();
      for (int place = -12; place <= 12; ++place) {
        if (timed.chord->type.has(Interval{place, 0})) {
          chord.tones |= static_cast<std::uint16_t>(1U << (timed.chord->root + Interval{place, 0}).semitone());
        }
      }
      chord.tones |= static_cast<std::uint16_t>(1U << timed.chord->bass.semitone());
    }
    heard.push_back(chord);
  }
  return heard;
}

std::array<double, 12> tonic_log_probabilities(std::span<const HeardChord> chords, bool whole_song) {
  std::array<double, 12> score{};
  const Statistics s = statistics_of(chords);
  if (s.time > 0) {
    for (int tonic = 0; tonic < 12; ++tonic) {
      const Evidence evidence = evidence_for(s, tonic);
      for (std::size_t i = 0; i < evidence_count; ++i) {
        score[static_cast<std::size_t>(tonic)] += evidence[i] * (whole_song ? weights[i].song : weights[i].window);
      }
    }
  }
  const double highest = *std::max_element(score.begin(), score.end());
  double sum = 0;
  for (const double value : score) sum += std::exp(value - highest);
  for (double& value : score) value -= highest + std::log(sum);
  return score;
}

}  // namespace romanesca
