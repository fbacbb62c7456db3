#include "theory/analysis/slips.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string_view>
#include <tuple>
#include <unordered_map>
#include <utility>

namespace romanesca {
namespace {

constexpr std::array<int, 8> line_distances{-16, -8, -4, -12, 4, 8, 12, 16};  // bars between lines that are compared
constexpr int compared_around = 3;                                            // bars on either side
constexpr int least_agreement = 3;                                            // of these, to call two lines alike
constexpr std::size_t most_names = 64;  // different chords of a piece; with more, nothing is looked for
constexpr std::size_t most_like_bars = 4;
constexpr double likely_slip = -0.8;  // log odds: about nine of ten slips, and one false alarm in fifteen songs

struct SignRow {
  std::string_view sign;
  double weight;
};

// Logistic regression over the 338 songs of the open halves of two published corpora (named in key_model.cpp) in which
// a bar of some line also stands in an alike one: each as it is, and with one such chord mistyped. Ten features would
// do nearly as well. In five folds by song 92 % of the slips were found and mended, with 0.07 false alarms a song.
constexpr std::array<SignRow, slip_sign_count> sign_rows{{
    {"any chord that typing could make of another", -5.49},
    {"agreement of the lines that have the other chord, together, at most 3", 1.07},
    {"agreement of the one that agrees best", 3.36},
    {"agreement of the lines that have this chord", -1.90},
    {"this chord is foreign to the key", 1.28},
    {"the other chord is foreign to the key", -1.12},
    {"this chord stands nowhere else", 1.86},
    {"logarithm of 1 + how often the other chord stands in the piece", 0.18},
    {"the chord before leads to this one elsewhere too", -1.42},
    {"this one leads to the chord after elsewhere too", -1.60},
    {"the chord before leads to the other one elsewhere", 1.24},
    {"the other one leads to the chord after elsewhere", 0.96},
    {"the neighbouring letter", -1.09},
    {"this chord is one that is put there on purpose", -2.50},  // fitted -0.9: these songs have few
}};

double log_odds(const std::array<double, slip_sign_count>& signs) {
  double sum = 0;
  for (std::size_t i = 0; i < slip_sign_count; ++i) sum += signs[i] * sign_rows[i].weight;
  return sum;
}

std::optional<TypingHabit> habit_between(const Chord& typed, const Chord& meant) {
  const bool typed_plain = typed.bass == typed.root;
  const bool meant_plain = meant.bass == meant.root;
  if (typed_plain != meant_plain || (!typed_plain && typed.bass != meant.bass)) return std::nullopt;
  if (typed.root == meant.root) {
    ChordType other = typed.type;
    if (typed.type.is_minor()) {
      other.replace(intervals::minor_third, intervals::major_third);
    } else if (typed.type.has(intervals::major_third)) {
      other.replace(intervals::major_third, intervals::minor_third);
    } else {
      return std::nullopt;
    }
    if (other == meant.type) return TypingHabit::third;
    return std::nullopt;
  }
  if (typed.type != meant.type) return std::nullopt;
  if (typed.root.letter() == meant.root.letter()) return TypingHabit::accidental;
  const int apart = (typed.root.letter() - meant.root.letter() + 7) % 7;
  if ((apart == 1 || apart == 6) && typed.root.alteration() == meant.root.alteration()) return TypingHabit::letter;
  return std::nullopt;
}

/// A stroke: a chord that is not the one before it in its bar.
struct Stroke {
  std::size_t chord = 0;
  int name = -1;  ///< which of the different chords; -1 for N.C.
  Beats offset;   ///< from the bar line
};

struct BarOfStrokes {
  std::size_t first = 0, count = 0;
  std::size_t like = 0;  ///< the first bar that has the same strokes
};

/// The piece as strokes with numbered names, and what follows what.
class NumberedPiece {
 public:
  explicit NumberedPiece(const Analysis& analysis)
      : analysis_(analysis), bars_(static_cast<std::size_t>(analysis.timeline.bars)) {
    std::map<std::tuple<int, std::uint32_t, int>, int> numbers;
    int bar = 0;
    for (std::size_t i = 0; i < analysis.chords.size(); ++i) {
      const TimedChord& timed = analysis.chords[i].timed;
      int name = -1;
      if (timed.chord) {
        const Chord& c = *timed.chord;
        const auto [place, fresh] =
            numbers.try_emplace({c.root.fifths(), c.type.mask(), c.bass.fifths()}, static_cast<int>(names_.size()));
        if (fresh) {
          names_.push_back(c);
          times_.push_back(0);
        }
        name = place->second;
      }
      const bool new_bar = timed.bar != bar;
      bar = timed.bar;
      if (!new_bar && strokes_.back().name == name) continue;
      BarOfStrokes& here = bars_[static_cast<std::size_t>(bar - 1)];
      if (here.count == 0) here.first = strokes_.size();
      here.count += 1;
      strokes_.push_back({i, name, timed.start - analysis.timeline.meters.start_of(timed.bar)});
      if (name >= 0) times_[static_cast<std::size_t>(name)] += 1;
    }
    if (names_.size() > most_names) return;
    follows_.resize(names_.size() * names_.size());
    for (std::size_t i = 1; i < strokes_.size(); ++i) {
      if (strokes_[i].name >= 0 && strokes_[i - 1].name >= 0)
        follows_[place(strokes_[i - 1].name, strokes_[i].name)] += 1;
    }
    number_bars();
  }

  [[nodiscard]] const std::vector<Chord>& names() const { return names_; }
  [[nodiscard]] const std::vector<Stroke>& strokes() const { return strokes_; }
  [[nodiscard]] int times(int name) const { return times_[static_cast<std::size_t>(name)]; }
  [[nodiscard]] int bars() const { return static_cast<int>(bars_.size()); }
  [[nodiscard]] const BarOfStrokes& bar(int index) const { return bars_[static_cast<std::size_t>(index)]; }
  /// How often one name follows another. The piece has no more than most_names.
  [[nodiscard]] int follows(int from, int to) const { return follows_[place(from, to)]; }
  [[nodiscard]] const Analysis& analysis() const { return analysis_; }

  /// Whether two bars have the same strokes. The piece has no more than most_names.
  [[nodiscard]] bool equal(int a, int b) const { return bar(a).like == bar(b).like; }

  /// The stroke of a bar that alone differs from another bar's, or nothing.
  [[nodiscard]] std::optional<std::pair<std::size_t, int>> one_difference(int a, int b) const {
    const BarOfStrokes &x = bar(a), &y = bar(b);
    if (x.count != y.count) return std::nullopt;
    std::optional<std::pair<std::size_t, int>> result;
    for (std::size_t k = 0; k < x.count; ++k) {
      const Stroke &s = strokes_[x.first + k], &t = strokes_[y.first + k];
      if (s.offset != t.offset) return std::nullopt;
      if (s.name == t.name) continue;
      if (result || s.name < 0 || t.name < 0) return std::nullopt;
      result = std::pair(x.first + k, t.name);
    }
    return result;
  }

  /// How many of the bars around one agree with those around another.
  [[nodiscard]] int agreement(int a, int b) const {
    int agreeing = 0;
    for (int d = -compared_around; d <= compared_around; ++d) {
      if (d == 0 || a + d < 0 || b + d < 0 || a + d >= bars() || b + d >= bars()) continue;
      agreeing += equal(a + d, b + d) ? 1 : 0;
    }
    return agreeing;
  }

 private:
  [[nodiscard]] std::size_t place(int from, int to) const {
    return static_cast<std::size_t>(from) * names_.size() + static_cast<std::size_t>(to);
  }

  [[nodiscard]] bool same_strokes(const BarOfStrokes& x, const BarOfStrokes& y) const {
    return std::equal(strokes_.begin() + x.first, strokes_.begin() + x.first + x.count, strokes_.begin() + y.first,
                      strokes_.begin() + y.first + y.count,
                      [](const Stroke& s, const Stroke& t) { return s.name == t.name && s.offset == t.offset; });
  }

  /// Finds for each bar the first that has the same strokes.
  void number_bars() {
    std::unordered_multimap<std::uint64_t, std::size_t> firsts;  // by a hash of the strokes
    for (std::size_t b = 0; b < bars_.size(); ++b) {
      std::uint64_t hash = bars_[b].count;
      for (std::size_t k = bars_[b].first; k < bars_[b].first + bars_[b].count; ++k) {
        const auto name = static_cast<std::uint64_t>(strokes_[k].name) + 1;  // 0 for N.C.
        hash = (hash ^ name ^ static_cast<std::uint64_t>(strokes_[k].offset.numerator()) << 8U) * 0x9E3779B97F4A7C15U;
        hash ^= hash >> 29U;
      }
      bars_[b].like = b;
      const auto [from, to] = firsts.equal_range(hash);
      const auto found =
          std::find_if(from, to, [&](const auto& each) { return same_strokes(bars_[b], bars_[each.second]); });
      if (found == to) {
        firsts.emplace(hash, b);
      } else {
        bars_[b].like = found->second;
      }
    }
  }

  const Analysis& analysis_;
  std::vector<Chord> names_;
  std::vector<int> times_;
  std::vector<Stroke> strokes_;
  std::vector<BarOfStrokes> bars_;
  std::vector<int> follows_;  ///< of each name, by each
};

/// What the lines that are alike have instead of a stroke.
struct LineSupport {
  std::size_t stroke = 0;
  int name = -1;
  double sum = 0, best = 0;
  std::vector<int> bars;
  void add(int agreeing, int bar) {
    const double weight = (agreeing - 1) / 5.0;  // 0.4 for three bars of six, 1 for all
    sum += weight;
    best = std::max(best, weight);
    bars.push_back(bar);
  }
};

/// The alike lines at a bar: what they have that differs in one stroke, and in same those that have the same.
std::vector<LineSupport> other_lines(const NumberedPiece& piece, int bar, LineSupport& same) {
  std::vector<LineSupport> result;
  for (const int distance : line_distances) {
    const int other = bar + distance;
    if (other < 0 || other >= piece.bars()) continue;
    const bool equal = piece.equal(bar, other);
    const auto difference = equal ? std::nullopt : piece.one_difference(bar, other);
    if (!equal && !difference) continue;
    const int agreeing = piece.agreement(bar, other);
    if (agreeing < least_agreement) continue;
    if (equal) {
      same.add(agreeing, other + 1);
      continue;
    }
    auto into = std::find_if(result.begin(), result.end(), [&](const LineSupport& each) {
      return each.stroke == difference->first && each.name == difference->second;
    });
    if (into == result.end()) {
      LineSupport fresh;
      fresh.stroke = difference->first;
      fresh.name = difference->second;
      into = result.insert(result.end(), fresh);
    }
    into->add(agreeing, other + 1);
  }
  return result;
}

/// A dominant or ii of another chord, or one of the seventh chords of the blues, where IV7 and V7 change places.
bool is_on_purpose(const AnalysedChord& each, const Chord& meant) {
  const ChordType type = each.timed.chord->type;
  const Origin origin = each.reading->origin;
  const bool leads = origin == Origin::applied || origin == Origin::related_two || origin == Origin::substitute ||
                     origin == Origin::dominant;
  const bool blues = type.is_dominant() && meant.type == type &&
                     (origin == Origin::blues || origin == Origin::diatonic) && meant.root != each.timed.chord->root;
  return (leads && type.has_seventh()) || blues;
}

Slip candidate(const NumberedPiece& piece, std::size_t stroke, int meant, TypingHabit habit, const LineSupport& support,
               const LineSupport& same) {
  const Stroke& here = piece.strokes()[stroke];
  const AnalysedChord& each = piece.analysis().chords[here.chord];
  const Chord& other = piece.names()[static_cast<std::size_t>(meant)];
  const int before = stroke > 0 ? piece.strokes()[stroke - 1].name : -1;
  const int after = stroke + 1 < piece.strokes().size() ? piece.strokes()[stroke + 1].name : -1;
  const auto seen = [&](int from, int to, int own) {
    return from >= 0 && to >= 0 && piece.follows(from, to) > own ? 1.0 : 0.0;
  };
  Slip slip;
  slip.chord = here.chord;
  slip.meant = other;
  slip.habit = habit;
  slip.like_bars = support.bars;
  std::sort(slip.like_bars.begin(), slip.like_bars.end());
  if (slip.like_bars.size() > most_like_bars) slip.like_bars.resize(most_like_bars);
  slip.signs = {1,
                std::min(support.sum, 3.0),
                support.best,
                std::min(same.sum, 3.0),
                each.reading->origin == Origin::diatonic ? 0.0 : 1.0,
                is_diatonic(other, each.key) ? 0.0 : 1.0,
                piece.times(here.name) == 1 ? 1.0 : 0.0,
                std::log1p(piece.times(meant)),
                seen(before, here.name, 1),
                seen(here.name, after, 1),
                seen(before, meant, 0),
                seen(meant, after, 0),
                habit == TypingHabit::letter ? 1.0 : 0.0,
                is_on_purpose(each, other) ? 1.0 : 0.0};
  slip.score = log_odds(slip.signs);
  return slip;
}

}  // namespace

std::vector<Slip> slip_candidates(const Analysis& analysis) {
  std::vector<Slip> result;
  const NumberedPiece piece(analysis);
  const auto& names = piece.names();
  if (names.size() > most_names) return result;
  std::vector<std::vector<std::pair<int, TypingHabit>>> confusable(names.size());
  for (std::size_t a = 0; a < names.size(); ++a) {
    for (std::size_t b = 0; b < names.size(); ++b) {
      if (a == b) continue;
      if (const auto habit = habit_between(names[a], names[b])) confusable[a].emplace_back(static_cast<int>(b), *habit);
    }
  }
  for (int bar = 0; bar < piece.bars(); ++bar) {
    const BarOfStrokes& here = piece.bar(bar);
    bool possible = false;
    for (std::size_t k = here.first; k < here.first + here.count; ++k) {
      const int name = piece.strokes()[k].name;
      possible = possible || (name >= 0 && !confusable[static_cast<std::size_t>(name)].empty());
    }
    if (!possible) continue;
    LineSupport same;
    const auto others = other_lines(piece, bar, same);
    for (std::size_t k = here.first; k < here.first + here.count; ++k) {
      const int name = piece.strokes()[k].name;
      if (name < 0) continue;
      for (const auto& [meant, habit] : confusable[static_cast<std::size_t>(name)]) {
        const auto found = std::find_if(others.begin(), others.end(), [&, other = meant](const LineSupport& each) {
          return each.stroke == k && each.name == other;
        });
        result.push_back(candidate(piece, k, meant, habit, found == others.end() ? LineSupport{} : *found, same));
      }
    }
  }
  return result;
}

namespace {

/// iv where alike lines have IV: a colour that songwriters choose.
bool is_minor_four(const AnalysedChord& each, const Slip& slip) {
  const int above = (each.timed.chord->root.semitone() - each.key.tonic.semitone() + 12) % 12;
  return slip.habit == TypingHabit::third && above == 5 && each.timed.chord->type.is_minor() &&
         !is_minorish(each.key.mode);
}

}  // namespace

std::vector<Slip> find_slips(const Analysis& analysis) {
  std::vector<Slip> result;
  for (Slip& slip : slip_candidates(analysis)) {
    if (slip.score < likely_slip || is_minor_four(analysis.chords[slip.chord], slip)) continue;
    if (!result.empty() && result.back().chord == slip.chord) {
      if (slip.score > result.back().score) result.back() = std::move(slip);
    } else {
      result.push_back(std::move(slip));
    }
  }
  return result;
}

}  // namespace romanesca
