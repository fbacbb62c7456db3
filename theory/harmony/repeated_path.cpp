#include "theory/harmony/repeated_path.h"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace romanesca {
namespace {

/// Not to have the chord of the other times: never worth it inside a phrase; in its last bar as much as a perfect
/// cadence is worth (HarmonyWeights::perfect_cadence).
constexpr int inside_phrase = 20'000, in_last_bar = 150;
/// Searches for the best of several rows of chords; after that, and in tunes longer than this, the most frequent is
/// taken.
constexpr int most_searches = 16, most_counting_searches = 4;
constexpr std::size_t longest_searched = 512;

/// The chords of a repeat.
using ChordRow = std::vector<std::size_t>;

class RepeatTier {
 public:
  RepeatTier(const std::vector<TuneSpan>& spans, const std::vector<PaletteChord>& palette, const Key& key,
             PathDemands demands)
      : spans_(spans), palette_(palette), key_(key), demands_(std::move(demands)) {
    searches_ = spans.size() > longest_searched ? 0 : demands_.at_least > 0 ? most_counting_searches : most_searches;
  }

  HarmonyPath run(const std::vector<TuneRepeat>& repeats) {
    HarmonyPath path = search();
    if (repeats.empty() || path.chords.empty()) return path;
    demands_.tied.resize(spans_.size());
    bool fresh = true;  // the path has all ties
    for (const TuneRepeat& repeat : repeats) {
      const std::vector<ChordRow> rows = rows_of(path, repeat);
      if (rows.size() == 1) {
        tie(repeat, rows.front());
      } else if (searches_ < static_cast<int>(rows.size())) {
        tie(repeat, rows.front());
        fresh = false;
      } else {
        path = best_of(rows, repeat);
        fresh = true;
      }
    }
    return fresh ? path : search();
  }

 private:
  [[nodiscard]] HarmonyPath search() const { return harmony_path(spans_, palette_, key_, {}, demands_); }

  /// The rows of chords that a path has at the places of a repeat: each once, the most frequent first.
  static std::vector<ChordRow> rows_of(const HarmonyPath& path, const TuneRepeat& repeat) {
    std::vector<std::pair<int, ChordRow>> counted;
    for (const std::size_t first : repeat.first_spans) {
      const auto begin = path.chords.begin() + static_cast<std::ptrdiff_t>(first);
      ChordRow row(begin, begin + static_cast<std::ptrdiff_t>(repeat.spans));
      const auto there =
          std::find_if(counted.begin(), counted.end(), [&](const auto& each) { return each.second == row; });
      if (there == counted.end()) {
        counted.emplace_back(1, std::move(row));
      } else {
        ++there->first;
      }
    }
    std::stable_sort(counted.begin(), counted.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    std::vector<ChordRow> rows;
    for (auto& each : counted) rows.push_back(std::move(each.second));
    return rows;
  }

  void tie(const TuneRepeat& repeat, const ChordRow& row) {
    for (const std::size_t first : repeat.first_spans) {
      for (std::size_t i = 0; i < row.size(); ++i) {
        const int bar = spans_[first + i].bar;
        const bool closes = bar % 4 == 0 || bar == spans_.back().bar;
        demands_.tied[first + i] = TiedChord{row[i], closes ? in_last_bar : inside_phrase};
      }
    }
  }

  HarmonyPath best_of(const std::vector<ChordRow>& rows, const TuneRepeat& repeat) {
    std::size_t best = 0;
    HarmonyPath cheapest;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      tie(repeat, rows[i]);
      HarmonyPath path = search();
      --searches_;
      if (i > 0 && path.cost >= cheapest.cost) continue;
      best = i;
      cheapest = std::move(path);
    }
    tie(repeat, rows[best]);
    return cheapest;
  }

  const std::vector<TuneSpan>& spans_;
  const std::vector<PaletteChord>& palette_;
  const Key& key_;
  PathDemands demands_;
  int searches_ = 0;
};

}  // namespace

HarmonyPath repeated_path(const std::vector<TuneSpan>& spans, const std::vector<TuneRepeat>& repeats,
                          const std::vector<PaletteChord>& palette, const Key& key, PathDemands demands) {
  return RepeatTier(spans, palette, key, std::move(demands)).run(repeats);
}

}  // namespace romanesca
