#include "synth/arranging/walking_bass.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <limits>

#include "synth/arranging/bass_notes.h"
#include "synth/arranging/groove.h"

namespace romanesca {
namespace {

constexpr int lowest = bass_roots.lowest;
constexpr std::size_t strokes_at_a_time = 64;
constexpr int never = 1000;

enum class ToneKind : std::uint8_t { chord_tone, scale_tone, outside };

/// A note that the line may take at a stroke.
struct Candidate {
  int midi = 0;
  ToneKind kind = ToneKind::chord_tone;
  int cost = 0;
};

/// A stroke of the line.
struct Stop {
  std::vector<Candidate> candidates;
  bool change = false;  ///< another chord begins here
};

bool is_tone(const Chord& chord, int midi) {
  return (chord.sounding_tones() >> static_cast<unsigned>(midi % 12) & 1U) != 0;
}

/// Notes of the chord's scale that pass without changing the chord: the second and, in minor, the fourth and seventh.
/// The sixth over a major chord makes it sound like its relative minor, so it costs more. 0 for a note that does not.
int passing_cost(const Chord& chord, int midi) {
  const int above = ((midi - chord.root.semitone()) % 12 + 12) % 12;
  if (above == 2) return chord.type.has(intervals::minor_second) ? 0 : 2;
  if (chord.type.is_minor()) return above == 5 || above == 10 ? 2 : 0;
  return above == 9 && !chord.type.has(intervals::minor_sixth) ? 8 : 0;
}

class Walker {
 public:
  Walker(std::span<const Stroke> strokes, const Score& score, std::uint32_t seed, std::vector<int>& notes)
      : strokes_(strokes), score_(score), chance_(seed + 3), notes_(notes) {}

  void walk() {
    for (std::size_t from = 0; from < strokes_.size();) {
      std::size_t to = std::min(from + strokes_at_a_time, strokes_.size());
      while (to < strokes_.size() && !is_change(to)) ++to;
      walk(from, to);
      from = to;
    }
  }

 private:
  [[nodiscard]] const Chord& chord_at(std::size_t stroke) const { return score_.chords[strokes_[stroke].chord].chord; }
  [[nodiscard]] bool is_change(std::size_t stroke) const {
    return stroke == 0 ||
           (strokes_[stroke].chord != strokes_[stroke - 1].chord && !(chord_at(stroke) == chord_at(stroke - 1)));
  }
  [[nodiscard]] bool walks(std::size_t stroke) const {
    return strokes_[stroke].sign == 'W' || strokes_[stroke].sign == 'R';
  }

  /// Where the line should be, to keep its direction over two bars: it rises and falls between A1 and G sharp 2.
  [[nodiscard]] int height_at(std::size_t stroke) const {
    constexpr int low = 33;
    constexpr int high = 44;
    const ScoreBar& bar = score_.bar_at(strokes_[stroke].start);
    const Beats both = bar.meter.bar_length() * 2;
    const Beats within = bar.start + (bar.in_section % 2 == 0 ? Beats(0) : Beats(0) - bar.meter.bar_length());
    const double way = (strokes_[stroke].start - within).quarters() / both.quarters();
    const int half = static_cast<int>(whole_times(bar.start, both));
    const bool rises = chance_.below(4, static_cast<std::uint32_t>(half), 5) == 0
                           ? chance_.below(2, static_cast<std::uint32_t>(half), 6) == 0
                           : half % 2 == chance_.below(2, 0, 6);
    return low + static_cast<int>((high - low) * (rises ? way : 1 - way));
  }

  [[nodiscard]] int own_cost(std::size_t stroke, int midi) const {
    const int away = std::abs(midi - height_at(stroke)) / 2;
    const int beyond = 2 * std::max(0, midi - 47);
    return away + beyond + chance_.below(4, static_cast<std::uint32_t>(stroke), static_cast<std::uint32_t>(midi));
  }

  /// The bass of a chord that begins, in either octave.
  [[nodiscard]] Stop change_to(std::size_t stroke) const {
    Stop stop{{}, true};
    for (int midi = lowest; midi <= highest_bass_note; ++midi) {
      if (midi % 12 == chord_at(stroke).bass.semitone())
        stop.candidates.push_back({midi, ToneKind::chord_tone, own_cost(stroke, midi)});
    }
    return stop;
  }

  [[nodiscard]] Stop stop_at(std::size_t stroke) const {
    if (!walks(stroke)) return {{{notes_[stroke], ToneKind::chord_tone, 0}}, is_change(stroke)};
    if (is_change(stroke)) return change_to(stroke);
    const Chord& chord = chord_at(stroke);
    const std::size_t next = (stroke + 1) % strokes_.size();
    const bool leads = next == 0 || is_change(next);
    const int goal = chord_at(next).bass.semitone();
    const ScoreBar& bar = score_.bar_at(strokes_[stroke].start);
    const bool strong = whole_times(strokes_[stroke].start - bar.start, bar.meter.pulse_length()) % 2 == 0;
    Stop stop;
    for (int midi = lowest; midi <= highest_bass_note; ++midi) {
      const int to_goal = ((midi - goal) % 12 + 12) % 12;
      const int own = own_cost(stroke, midi);
      if (is_tone(chord, midi)) {
        stop.candidates.push_back({midi, ToneKind::chord_tone, own});
      } else if (const int passing = passing_cost(chord, midi); passing > 0 && !(strong && !leads)) {
        stop.candidates.push_back({midi, ToneKind::scale_tone, own + passing});
      } else if (leads && (to_goal == 1 || to_goal == 11)) {
        stop.candidates.push_back({midi, ToneKind::outside, own + 1});
      }
    }
    return stop;
  }

  /// From one note to the next.
  static int step_cost(const Candidate& from, const Candidate& to, bool change) {
    const int leap = std::abs(to.midi - from.midi);
    if (change) {
      if (leap == 0) return never;
      return leap == 1 ? 0 : leap == 2 ? 1 : leap == 5 || leap == 7 ? 14 : 40 + leap;
    }
    constexpr std::array<int, 13> costs{never, 1, 1, 3, 3, 5, 16, 7, 14, 14, 16, 20, 10};
    int cost = leap > 12 ? 60 + leap : costs[static_cast<std::size_t>(leap)];
    if (from.kind != ToneKind::chord_tone && leap > 2) cost += 24;
    if (to.kind == ToneKind::scale_tone && leap > 2) cost += 14;
    if (to.kind == ToneKind::outside && leap > 4) cost += 8;
    return cost;
  }

  /// Of three notes in a row.
  static int turn_cost(int first, int second, int third) {
    if (first == third) return 24;
    const int one = second - first;
    const int two = third - second;
    const bool turns = (one > 0) != (two > 0);
    if (std::abs(one) > 4 && !turns && std::abs(two) > 2) return 10;
    return turns && std::abs(one) <= 4 ? 3 : 0;
  }

  /// The line of least cost over some strokes, after the two notes before and towards the change that follows:
  /// dynamic programming over pairs of neighbouring notes.
  void walk(std::size_t from, std::size_t to) {
    std::vector<Stop> stops;
    const std::size_t known = std::min<std::size_t>(from, 2);
    for (std::size_t i = from - known; i < from; ++i) stops.push_back({{{notes_[i], ToneKind::chord_tone, 0}}, false});
    for (std::size_t i = from; i < to; ++i) stops.push_back(stop_at(i));
    stops.push_back(to < strokes_.size() ? stop_at(to) : change_to(0));
    if (known == 2) stops[1].change = false;
    const std::vector<int> line = best_line(stops);
    for (std::size_t i = from; i < to; ++i) {
      if (walks(i)) notes_[i] = line[known + i - from];
    }
  }

  /// Costs of the best lines that end with each pair of notes at a stop and the one before it.
  struct Pairs {
    std::vector<int> costs;
    std::vector<std::uint8_t> before;  ///< which candidate two stops back
  };

  static std::vector<int> best_line(const std::vector<Stop>& stops) {
    std::vector<Pairs> all(stops.size());
    for (std::size_t i = 1; i < stops.size(); ++i) {
      const std::size_t firsts = stops[i - 1].candidates.size();
      const std::size_t seconds = stops[i].candidates.size();
      all[i].costs.assign(firsts * seconds, std::numeric_limits<int>::max());
      all[i].before.assign(firsts * seconds, 0);
      for (std::size_t a = 0; a < firsts; ++a) {
        for (std::size_t b = 0; b < seconds; ++b) extend(stops, all, i, a, b);
      }
    }
    return traced(stops, all);
  }

  static void extend(const std::vector<Stop>& stops, std::vector<Pairs>& all, std::size_t i, std::size_t a,
                     std::size_t b) {
    const Candidate& from = stops[i - 1].candidates[a];
    const Candidate& to = stops[i].candidates[b];
    const std::size_t seconds = stops[i].candidates.size();
    const int own = to.cost + step_cost(from, to, stops[i].change);
    int& cost = all[i].costs[a * seconds + b];
    if (i == 1) {
      cost = from.cost + own;
      return;
    }
    const std::vector<Candidate>& earlier = stops[i - 2].candidates;
    for (std::size_t z = 0; z < earlier.size(); ++z) {
      const int before = all[i - 1].costs[z * stops[i - 1].candidates.size() + a];
      const int total = before + own + turn_cost(earlier[z].midi, from.midi, to.midi);
      if (total >= cost) continue;
      cost = total;
      all[i].before[a * seconds + b] = static_cast<std::uint8_t>(z);
    }
  }

  static std::vector<int> traced(const std::vector<Stop>& stops, const std::vector<Pairs>& all) {
    std::vector<int> line(stops.size(), stops.front().candidates.front().midi);
    const Pairs& last = all.back();
    const auto best =
        static_cast<std::size_t>(std::min_element(last.costs.begin(), last.costs.end()) - last.costs.begin());
    std::size_t b = best % stops.back().candidates.size();
    std::size_t a = best / stops.back().candidates.size();
    for (std::size_t i = stops.size() - 1; i > 0; --i) {
      line[i] = stops[i].candidates[b].midi;
      line[i - 1] = stops[i - 1].candidates[a].midi;
      const std::size_t before = all[i].before[a * stops[i].candidates.size() + b];
      b = a;
      a = before;
    }
    return line;
  }

  std::span<const Stroke> strokes_;
  const Score& score_;
  Chance chance_;
  std::vector<int>& notes_;
};

}  // namespace

void walk(std::span<const Stroke> strokes, const Score& score, std::uint32_t seed, std::vector<int>& notes) {
  Walker(strokes, score, seed, notes).walk();
}

}  // namespace romanesca
