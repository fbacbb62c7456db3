#include "theory/harmony/harmony_path.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>

namespace romanesca {
namespace {

constexpr int never = std::numeric_limits<int>::max() / 4;
constexpr int most_counted = 12;

int chance_cost(int per_cent) { return static_cast<int>(std::lround(-100.0 * std::log(per_cent / 100.0))); }

/// What each sounding class costs against a chord, for a stress of 100.
std::array<int, 12> tone_costs(const Chord& chord, bool dominant, const HarmonyWeights& weights) {
  std::array<int, 12> costs{};
  costs.fill(weights.foreign_note);
  for (const PitchClass tone : Chord::on(chord.root, chord.type.triad()).tones()) {
    costs[static_cast<std::size_t>(tone.semitone())] = 0;
  }
  ChordType whole = chord.type;
  if (dominant) whole.add(intervals::minor_seventh);
  for (const PitchClass tone : Chord::on(chord.root, whole).tones()) {
    int& cost = costs[static_cast<std::size_t>(tone.semitone())];
    cost = std::min(cost, weights.seventh);
  }
  return costs;
}

class PathSearch {
 public:
  PathSearch(const std::vector<TuneSpan>& spans, const std::vector<PaletteChord>& palette, const Key& key,
             const HarmonyWeights& weights, const PathDemands& demands)
      : spans_(spans),
        palette_(palette),
        key_(key),
        weights_(weights),
        demands_(demands),
        levels_(static_cast<std::size_t>(std::clamp(demands.at_least, 0, most_counted)) + 1) {
    for (std::size_t c = 0; c < palette.size(); ++c) {
      tones_.push_back(tone_costs(palette[c].chord, is_dominant(c), weights));
    }
    for (const PaletteChord& from : palette) {
      for (const PaletteChord& to : palette) changes_.push_back(transition_cost(from, to, key));
    }
  }

  HarmonyPath run() {
    const std::size_t states = palette_.size() * levels_;
    std::vector<int> cost(states, never);
    std::vector<std::vector<std::uint16_t>> before(spans_.size());
    for (std::size_t c = 0; c < palette_.size(); ++c) {
      cost[state(c, counts(c) ? 1 : 0)] = own(0, c) + (is_tonic(c) ? 0 : weights_.other_first);
    }
    for (std::size_t s = 1; s < spans_.size(); ++s) {
      std::vector<int> next(states, never);
      before[s].assign(states, 0);
      step(s, cost, next, before[s]);
      cost = std::move(next);
    }
    return trace(cost, before);
  }

 private:
  [[nodiscard]] std::size_t state(std::size_t chord, std::size_t level) const {
    return chord * levels_ + std::min(level, levels_ - 1);
  }
  [[nodiscard]] bool counts(std::size_t chord) const { return palette_[chord].role == demands_.counted; }
  [[nodiscard]] bool is_tonic(std::size_t chord) const { return palette_[chord].chord.root.sounds_like(key_.tonic); }
  [[nodiscard]] bool is_dominant(std::size_t chord) const {
    return palette_[chord].chord.root.sounds_like(key_.tonic + intervals::perfect_fifth);
  }

  /// Whether the tune sings a tone of the chord that its key does not have.
  [[nodiscard]] bool prompted(std::size_t span, std::size_t chord) const {
    const unsigned foreign = palette_[chord].chord.sounding_tones() & ~key_.sounding_tones();
    for (std::size_t i = 0; i < 12; ++i) {
      if ((foreign >> i & 1U) != 0 && spans_[span].stress[i] > 0) return true;
    }
    return false;
  }

  /// What the raised seventh of minor asks for, where it goes to the tonic.
  [[nodiscard]] int leading_cost(std::size_t span, std::size_t chord) const {
    const int tonic = key_.tonic.semitone();
    if (key_.mode != Mode::minor || spans_[span].rises_to != tonic) return 0;
    const unsigned leading = 1U << static_cast<unsigned>((tonic + 11) % 12);
    if ((palette_[chord].chord.sounding_tones() & leading) == 0) return weights_.led_past;
    return -spans_[span].suspended * tones_[chord][static_cast<std::size_t>(tonic)] / 150;
  }

  /// The notes of a span against a chord, and its place in the form.
  [[nodiscard]] int own(std::size_t span, std::size_t chord) const {
    std::int64_t sum = 0;
    for (std::size_t i = 0; i < 12; ++i) sum += static_cast<std::int64_t>(spans_[span].stress[i]) * tones_[chord][i];
    int cost = static_cast<int>(sum / 100);
    cost += leading_cost(span, chord);
    const bool last = span + 1 == spans_.size();
    const bool ends_bar = last || spans_[span + 1].opens_bar;
    if (palette_[chord].role == PaletteRole::surprise && demands_.counted != PaletteRole::surprise &&
        !prompted(span, chord)) {
      cost += weights_.unprompted;
    }
    if (span < demands_.avoid.size()) {
      const std::vector<std::size_t>& avoided = demands_.avoid[span];
      if (std::find(avoided.begin(), avoided.end(), chord) != avoided.end()) cost += demands_.avoid_cost;
    }
    if (span < demands_.tied.size() && demands_.tied[span] && demands_.tied[span]->chord != chord) {
      cost += demands_.tied[span]->cost;
    }
    if (last && !is_tonic(chord)) cost += weights_.other_last;
    if (!last && ends_bar && spans_[span].bar % 4 == 0 && !is_tonic(chord) && !is_dominant(chord)) {
      cost += weights_.other_phrase_end;
    }
    return cost;
  }

  void step(std::size_t span, const std::vector<int>& cost, std::vector<int>& next,
            std::vector<std::uint16_t>& before) const {
    const int chance = spans_[span].opens_bar ? weights_.change_on_bar : weights_.change_in_bar;
    const int change = chance_cost(chance), stay = chance_cost(100 - chance);
    const std::size_t size = palette_.size();
    const bool closes = spans_[span].bar % 4 == 0 || spans_[span].bar == spans_.back().bar;
    for (std::size_t to = 0; to < size; ++to) {
      const int own_cost = own(span, to);
      for (std::size_t from = 0; from < size; ++from) {
        int link = own_cost + (from == to ? stay : change + changes_[from * size + to]);
        if (closes && is_tonic(to) && is_dominant(from)) link -= weights_.perfect_cadence;
        const std::size_t rise = from != to && counts(to) ? 1 : 0;
        for (std::size_t level = 0; level < levels_; ++level) {
          const std::size_t origin = state(from, level), goal = state(to, level + rise);
          if (cost[origin] >= never || cost[origin] + link >= next[goal]) continue;
          next[goal] = cost[origin] + link;
          before[goal] = static_cast<std::uint16_t>(origin);
        }
      }
    }
  }

  [[nodiscard]] HarmonyPath trace(const std::vector<int>& cost,
                                  const std::vector<std::vector<std::uint16_t>>& before) const {
    std::size_t best = 0;
    bool found = false;
    for (std::size_t level = levels_; level-- > 0 && !found;) {
      for (std::size_t chord = 0; chord < palette_.size(); ++chord) {
        const std::size_t here = state(chord, level);
        if (cost[here] >= never || (found && cost[here] >= cost[best])) continue;
        best = here;
        found = true;
      }
    }
    HarmonyPath path{std::vector<std::size_t>(spans_.size()), cost[best]};
    for (std::size_t s = spans_.size(); s-- > 0;) {
      path.chords[s] = best / levels_;
      if (s > 0) best = before[s][best];
    }
    return path;
  }

  const std::vector<TuneSpan>& spans_;
  const std::vector<PaletteChord>& palette_;
  const Key& key_;
  const HarmonyWeights& weights_;
  const PathDemands& demands_;
  std::size_t levels_;
  std::vector<std::array<int, 12>> tones_;
  std::vector<int> changes_;  ///< from chord times size, plus to chord
};

}  // namespace

HarmonyPath harmony_path(const std::vector<TuneSpan>& spans, const std::vector<PaletteChord>& palette, const Key& key,
                         const HarmonyWeights& weights, const PathDemands& demands) {
  if (spans.empty() || palette.empty()) return {};
  return PathSearch(spans, palette, key, weights, demands).run();
}

}  // namespace romanesca
