#include "theory/analysis/key_model.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <utility>

namespace romanesca {
namespace {

// How well each of the twelve tones fits a key, from C upwards for the key of C: the probe-tone ratings of Krumhansl &
// Kessler, Psychological Review 89, 1982 (values from memory).
constexpr std::array<double, 12> major_profile{6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88};
constexpr std::array<double, 12> minor_profile{6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17};

/// Twelve numbers less their mean, and the sum of their squares.
struct Deviations {
  std::array<double, 12> values{};
  double squared = 0;
};

constexpr Deviations deviations_of(const std::array<double, 12>& numbers) {
  double mean = 0;
  for (const double number : numbers) mean += number / 12;
  Deviations result;
  for (std::size_t i = 0; i < 12; ++i) {
    result.values[i] = numbers[i] - mean;
    result.squared += result.values[i] * result.values[i];
  }
  return result;
}

constexpr Deviations major_deviations = deviations_of(major_profile);
constexpr Deviations minor_deviations = deviations_of(minor_profile);

/// Pearson correlation of twelve durations with the profile of the key on @p tonic (0 to 11); 0 where undefined.
double profile_correlation(const Deviations& heard, std::size_t tonic, bool minor) {
  const Deviations& profile = minor ? minor_deviations : major_deviations;
  double both = 0;
  for (std::size_t i = 0; i < 12 - tonic; ++i) both += heard.values[i + tonic] * profile.values[i];
  for (std::size_t i = 12 - tonic; i < 12; ++i) both += heard.values[i + tonic - 12] * profile.values[i];
  const double scale = std::sqrt(heard.squared * profile.squared);
  return scale > 0 ? both / scale : 0;
}

struct FeatureRow {
  std::string_view feature;
  double song, window;
};

// Fitted by tests/fitting/key_weights: logistic regression over the twelve tonics of 100 rock songs, each heard by two
// people, and 369 chart songs (the open halves of two published corpora: de Clercq & Temperley, Popular Music 30/1,
// 2011; Burgoyne, Wild & Fujinaga, ISMIR 2011). Shares are of the time that has a chord. DEVELOPERS.md
// has its accuracy on other songs.
constexpr std::array<FeatureRow, evidence_count> feature_rows{{
    {"the tones fit the profile of the key whose tonic chord sounds", 4.33, 4.00},
    {"square root of the longest stretch on the tonic's root", 3.56, 1.02},
    {"square root of the smallest share of I, IV and V", 4.26, 4.21},
    {"begins on the tonic", 1.40, 0.07},
    {"begins on V", 0.42, -0.12},
    {"ends on the tonic", 0.60, 0.13},
    {"repeated passages begin on the tonic", 0.67, 0.23},
    {"every other bar begins on the tonic's root", 2.50, 1.98},
    {"V7 while the tonic is no seventh chord", 2.56, 2.35},
    {"the tonic is a dominant seventh", -1.46, -0.20},
    {"root motion V to I", 3.19, 2.14},
    {"root motion vi to IV", 2.49, 5.52},
    {"root motion bVI to bVII", -0.25, 1.34},
    {"root motion V to vi", -0.87, -0.23},
    {"root motion II to I", -2.99, -3.02},
    {"of the motions to I those from IV", 0.56, 0.32},
    {"a major triad on VII", -1.05, -0.62},
    {"major tonic with v", -1.16, -1.76},
    {"major tonic with bVII", -0.12, 0.14},
    {"the smaller share of i and bVII", -1.39, -1.26},
}};

constexpr KeyModel fitted_model = [] {
  KeyModel made;
  for (std::size_t i = 0; i < evidence_count; ++i) {
    made.song[i] = feature_rows[i].song;
    made.window[i] = feature_rows[i].window;
  }
  return made;
}();

constexpr std::array<std::string_view, evidence_count> feature_names = [] {
  std::array<std::string_view, evidence_count> made;
  for (std::size_t i = 0; i < evidence_count; ++i) made[i] = feature_rows[i].feature;
  return made;
}();

constexpr int passage_bars = 4;  // a passage that comes back must be this long at least

std::uint64_t mixed(std::uint64_t hash, std::uint64_t value) {
  hash = (hash ^ value) * 0x9E3779B97F4A7C15U;
  return hash ^ hash >> 29U;
}

HeardChord heard(const Chord& chord) {
  HeardChord result;
  result.root = chord.root.semitone();
  result.minor = chord.type.is_minor();
  result.dominant = chord.type.is_dominant();
  result.tones = static_cast<std::uint16_t>(chord.sounding_tones() | 1U << chord.bass.semitone());
  return result;
}

}  // namespace

/// Times and counts from which the features of all twelve tonics are computed.
struct HeardPiece::Statistics {
  double time = 0;
  std::array<double, 12> tone_time{}, even_bars{}, repeats{};
  std::array<double, 12> major{}, minor{}, dominant{}, longest{};  ///< of each root; at last shares of the time
  std::array<std::array<double, 12>, 12> motion{};                 ///< root changes, from and to
  std::array<double, 12> arrivals{};                               ///< root changes to each root
  double changes = 0;
  double even_bar_count = 0, repeat_count = 0;
  int first = -1, last = -1;
  bool first_minor = false;

  /// @param tones the deviations of tone_time
  [[nodiscard]] Evidence evidence_for(int tonic, const Deviations& tones) const;
};

HeardPiece::HeardPiece(const Timeline& timeline) {
  const MeterMap& meters = timeline.meters;
  const double first_length = meters.first().bar_length().quarters();
  int first_bar = 0;
  for (const TimedChord& timed : timeline.chords) {
    if (chords_.empty()) {
      if (!timed.chord) continue;
      first_bar = timed.bar;
      const int bars = timeline.bars - first_bar + 1;
      bars_.resize(static_cast<std::size_t>(bars));
    }
    HeardChord chord;
    if (timed.chord) chord = heard(*timed.chord);
    chord.sounds = timed.chord.has_value();
    chord.bar = timed.bar - first_bar;
    const bool same = meters.is_constant();
    const double bar_length = same ? first_length : meters.at(timed.bar).bar_length().quarters();
    const double bar_start = same ? first_length * (timed.bar - 1) : meters.start_of(timed.bar).quarters();
    chord.offset = (timed.start.quarters() - bar_start) / bar_length;
    chord.length = timed.length.quarters() / bar_length;
    chords_.push_back(chord);
  }
  find_sections(timeline, first_bar);
  index_bars();
}

HeardPiece HeardPiece::moved_back(const std::vector<int>& semitones) const {
  HeardPiece moved(*this);
  for (HeardChord& chord : moved.chords_) {
    const int by = semitones[static_cast<std::size_t>(chord.bar)];
    if (by == 0) continue;
    chord.root = (chord.root + 12 - by) % 12;
    const unsigned twice = chord.tones | static_cast<unsigned>(chord.tones) << 12U;
    chord.tones = static_cast<std::uint16_t>(twice >> static_cast<unsigned>(by) & 0xFFFU);
  }
  moved.index_bars();
  return moved;
}

/// Fills bars_ from chords_.
void HeardPiece::index_bars() {
  bars_.assign(bars_.size(), {});
  std::size_t next = 0;
  for (std::size_t b = 0; b < bars_.size(); ++b) {
    Bar& bar = bars_[b];
    bar.first_chord = next;
    for (; next < chords_.size() && chords_[next].bar <= static_cast<int>(b); ++next) {
      const HeardChord& chord = chords_[next];
      const int name = chord.sounds ? chord.root * 2 + (chord.minor ? 1 : 0) + 1 : 0;
      bar.content = mixed(bar.content, static_cast<std::uint64_t>(name + 32 * std::lround(chord.offset * 48)));
      if (chord.offset < 1e-6 && chord.sounds) bar.downbeat = chord.root;
    }
  }
  for (std::size_t b = 0; b + passage_bars <= bars_.size(); ++b) {
    bool varied = false;
    for (std::size_t k = 0; k < passage_bars; ++k) {
      bars_[b].passage = mixed(bars_[b].passage, bars_[b + k].content);
      varied = varied || bars_[b + k].content != bars_[b].content;
    }
    if (!varied) bars_[b].passage = 0;
  }
}

void HeardPiece::find_sections(const Timeline& timeline, int first_bar) {
  constexpr int shortest = 4;  // bars
  section_starts_ = {0};
  std::uint32_t section = timeline.chords.empty() ? 0 : timeline.chords.front().section;
  for (const TimedChord& timed : timeline.chords) {
    if (timed.section == section) continue;
    section = timed.section;
    const int start = timed.bar - first_bar;
    if (start - section_starts_.back() >= shortest && bars() - start >= shortest) section_starts_.push_back(start);
  }
}

std::span<const HeardChord> HeardPiece::chords_of(int bar) const noexcept {
  const auto at = static_cast<std::size_t>(bar);
  const std::size_t first = bars_[at].first_chord;
  const std::size_t end = at + 1 < bars_.size() ? bars_[at + 1].first_chord : chords_.size();
  return {chords_.data() + first, end - first};
}

std::pair<int, int> HeardPiece::section_around(int bar) const noexcept {
  const auto after = std::upper_bound(section_starts_.begin(), section_starts_.end(), bar);
  const int start = after == section_starts_.begin() ? 0 : *(after - 1);
  return {start, after == section_starts_.end() ? bars() : *after};
}

void HeardPiece::count_durations(int first, int end, Statistics& s) const {
  double stretch = 0;
  int stretch_root = -1;
  int previous = -1;
  for (std::size_t i = bars_[static_cast<std::size_t>(first)].first_chord; i < chords_.size(); ++i) {
    const HeardChord& chord = chords_[i];
    if (chord.bar >= end) break;
    if (!chord.sounds) {
      stretch_root = -1;
      continue;
    }
    const auto root = static_cast<std::size_t>(chord.root);
    s.time += chord.length;
    (chord.minor ? s.minor : s.major)[root] += chord.length;
    if (chord.dominant) s.dominant[root] += chord.length;
    for (unsigned rest = chord.tones; rest != 0; rest &= rest - 1) {
      s.tone_time[static_cast<std::size_t>(std::countr_zero(rest))] += chord.length;
    }
    stretch = chord.root == stretch_root ? stretch + chord.length : chord.length;
    stretch_root = chord.root;
    s.longest[root] = std::max(s.longest[root], stretch);
    if (previous >= 0 && previous != chord.root) {
      s.motion[static_cast<std::size_t>(previous)][root] += 1;
      s.arrivals[root] += 1;
      s.changes += 1;
    }
    previous = chord.root;
    if (s.first < 0) {
      s.first = chord.root;
      s.first_minor = chord.minor;
    }
    s.last = chord.root;
  }
}

/// Counts the bars where a passage begins that recurs in these bars and is not part of a longer one: the bars
/// before its copies differ, or one copy has none before it.
void HeardPiece::count_repeats(int first, int end, Statistics& s) const {
  std::vector<std::pair<std::uint64_t, int>> places;
  for (int b = first; b + passage_bars <= end; ++b) {
    const std::uint64_t passage = bars_[static_cast<std::size_t>(b)].passage;
    if (passage != 0) places.emplace_back(passage, b);
  }
  std::sort(places.begin(), places.end());
  const auto before = [&](int bar) { return bars_[static_cast<std::size_t>(bar - 1)].content; };
  for (std::size_t i = 0; i < places.size();) {
    std::size_t after = i + 1;
    bool begins = places[i].second == first;
    for (; after < places.size() && places[after].first == places[i].first; ++after) {
      begins = begins || before(places[after].second) != before(places[i].second);
    }
    if (begins && after - i >= 2) {
      for (std::size_t k = i; k < after; ++k) {
        s.repeat_count += 1;
        const int downbeat = bars_[static_cast<std::size_t>(places[k].second)].downbeat;
        if (downbeat >= 0) s.repeats[static_cast<std::size_t>(downbeat)] += 1;
      }
    }
    i = after;
  }
}

std::array<Evidence, 12> HeardPiece::evidence(int first, int end) const {
  std::array<Evidence, 12> evidence{};
  first = std::clamp(first, 0, bars());
  end = std::clamp(end, first, bars());
  if (first == end) return evidence;
  Statistics s;
  count_durations(first, end, s);
  if (s.time <= 0) return evidence;
  for (int b = first; b < end; b += 2) {
    const int downbeat = bars_[static_cast<std::size_t>(b)].downbeat;
    if (downbeat < 0) continue;
    s.even_bar_count += 1;
    s.even_bars[static_cast<std::size_t>(downbeat)] += 1;
  }
  count_repeats(first, end, s);
  for (auto* times : {&s.major, &s.minor, &s.dominant, &s.longest}) {
    for (double& each : *times) each /= s.time;
  }
  const Deviations tones = deviations_of(s.tone_time);
  for (int tonic = 0; tonic < 12; ++tonic) evidence[static_cast<std::size_t>(tonic)] = s.evidence_for(tonic, tones);
  return evidence;
}

Evidence HeardPiece::Statistics::evidence_for(int tonic, const Deviations& tones) const {
  const auto at = [&](int degree) { return static_cast<std::size_t>((tonic + degree) % 12); };
  const auto major_on = [&](int degree) { return major[at(degree)]; };
  const auto minor_on = [&](int degree) { return minor[at(degree)]; };
  const auto seventh_on = [&](int degree) { return dominant[at(degree)]; };
  const double all_changes = std::max(changes, 1.0);
  const auto moves = [&](int from, int to) { return motion[at(from)][at(to)] / all_changes; };
  const double tonic_time = major_on(0) + minor_on(0) + 0.001;
  const double majorness = major_on(0) / tonic_time;
  const double minorness = minor_on(0) / tonic_time;
  const double to_tonic = arrivals[at(0)] / all_changes;
  double fit = 0;
  if (minorness > 0) fit += minorness * profile_correlation(tones, at(0), true);
  if (majorness > 0) fit += majorness * profile_correlation(tones, at(0), false);
  return {fit,
          std::sqrt(longest[at(0)]),
          std::sqrt(std::min({major_on(0), major_on(5), major_on(7)})),
          first == tonic ? 1.0 : 0.0,
          first == static_cast<int>(at(7)) && !first_minor ? 1.0 : 0.0,
          last == tonic ? 1.0 : 0.0,
          repeats[at(0)] / std::max(repeat_count, 1.0),
          even_bars[at(0)] / std::max(even_bar_count, 1.0),
          std::sqrt(seventh_on(7)) * (1 - std::sqrt(seventh_on(0))),
          std::sqrt(seventh_on(0)),
          moves(7, 0),
          moves(9, 5),
          moves(8, 10),
          moves(7, 9),
          moves(2, 0),
          moves(5, 0) / (to_tonic + 0.02),
          major_on(11) > 0.01 ? 1.0 : 0.0,
          majorness * std::sqrt(minor_on(7)),
          majorness * std::sqrt(major_on(10)),
          std::min(minor_on(0), major_on(10))};
}

const KeyModel& fitted_key_model() noexcept { return fitted_model; }

std::span<const std::string_view, evidence_count> evidence_names() noexcept { return feature_names; }

std::array<double, 12> tonic_log_probabilities(const std::array<Evidence, 12>& evidence,
                                               const Evidence& weights) noexcept {
  std::array<double, 12> score{};
  for (std::size_t tonic = 0; tonic < 12; ++tonic) {
    for (std::size_t i = 0; i < evidence_count; ++i) score[tonic] += evidence[tonic][i] * weights[i];
  }
  const double highest = *std::max_element(score.begin(), score.end());
  double sum = 0;
  for (const double value : score) sum += std::exp(value - highest);
  const double whole = highest + std::log(sum);
  for (double& value : score) value -= whole;
  return score;
}

}  // namespace romanesca
