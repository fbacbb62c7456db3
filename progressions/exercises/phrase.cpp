#include "progressions/exercises/phrase.h"

#include <algorithm>
#include <array>

#include "progressions/continuation.h"

namespace romanesca {
namespace {

constexpr double likely_change = 0.05;
constexpr std::size_t step_count = 36;  // twelve roots and three kinds of triad

std::size_t place_of(const ChordStep& step) {
  return static_cast<std::size_t>(step.above) * 3 + static_cast<std::size_t>(step.kind);
}

using LikelyChanges = std::array<std::array<std::array<bool, step_count>, step_count>, 2>;

/// Which changes are likely, in major and in minor.
const LikelyChanges& likely_changes() {
  static const auto table = [] {
    std::vector<std::pair<std::string, std::size_t>> names;
    for (int above = 0; above < 12; ++above) {
      for (const auto kind : {ChordStep::Kind::major, ChordStep::Kind::minor, ChordStep::Kind::diminished}) {
        const ChordStep step{above, kind};
        names.emplace_back(to_string(step), place_of(step));
      }
    }
    const auto place_named = [&](const std::string& name) {
      const auto found = std::find_if(names.begin(), names.end(), [&](const auto& each) { return each.first == name; });
      return found == names.end() ? std::optional<std::size_t>() : found->second;
    };
    LikelyChanges result{};
    for (const ContinuationRow& row : continuation_rows()) {
      const auto from = place_named(row.from);
      for (const auto& [name, share] : row.next) {
        const auto to = place_named(name);
        if (from && to && share >= likely_change) result[row.minor ? 1 : 0][*from][*to] = true;
      }
    }
    return result;
  }();
  return table;
}

int above_tonic(const Chord& chord, const Key& key) { return (chord.root.semitone() - key.tonic.semitone() + 12) % 12; }

/// Counts the ways in which a phrase can go on from each place, and draws one of them.
class PhraseDrawer {
 public:
  PhraseDrawer(const Key& key, const std::vector<Chord>& palette, const PhraseShape& shape, bool as_songs)
      : key_(key), palette_(palette), shape_(shape), as_songs_(as_songs) {
    ways_.assign(shape.count, std::vector<std::array<std::uint64_t, states>>(palette.size()));
    for (std::size_t place = shape.count; place-- > 0;) {
      for (std::size_t chord = 0; chord < palette.size(); ++chord) {
        for (std::size_t state = 0; state < states; ++state) {
          const State here{chord, (state & 8U) != 0, state & 7U};
          ways_[place][chord][state] = place + 1 == shape.count ? complete(here) : onward(place, here);
        }
      }
    }
  }

  [[nodiscard]] std::uint64_t total() const {
    std::uint64_t sum = 0;
    for (std::size_t chord = 0; chord < palette_.size(); ++chord) sum += begins(chord);
    return sum;
  }

  /// @param number below total()
  [[nodiscard]] std::vector<Chord> drawn(std::uint64_t number) const {
    std::size_t first = 0;
    while (first + 1 < palette_.size() && number >= begins(first)) number -= begins(first++);
    State here{first, false, met_in(first)};
    std::vector<Chord> result{palette_[first]};
    for (std::size_t place = 0; place + 1 < shape_.count; ++place) {
      std::size_t next = 0;
      while (next + 1 < palette_.size() && number >= step_ways(place, here, next))
        number -= step_ways(place, here, next++);
      here = after(here, next);
      result.push_back(palette_[next]);
    }
    return result;
  }

 private:
  static constexpr std::size_t states = 16;
  struct State {
    std::size_t chord;
    bool repeated;    ///< it stood before too
    std::size_t met;  ///< so far: 1 a chord without a minor third, 2 one with it, 4 the tonic
  };

  [[nodiscard]] std::size_t met_in(std::size_t chord) const {
    return (palette_[chord].type.is_minor() ? 2U : 1U) | (palette_[chord].root == key_.tonic ? 4U : 0U);
  }
  [[nodiscard]] State after(const State& here, std::size_t next) const {
    return {next, next == here.chord, here.met | met_in(next)};
  }
  [[nodiscard]] std::uint64_t complete(const State& here) const {
    const std::size_t needed = (shape_.both_kinds ? 3U : 0U) | (shape_.meets_home ? 4U : 0U);
    return (here.met & needed) == needed ? 1 : 0;
  }
  [[nodiscard]] std::uint64_t ways(std::size_t place, const State& here) const {
    return ways_[place][here.chord][(here.repeated ? 8U : 0U) + here.met];
  }

  [[nodiscard]] std::uint64_t begins(std::size_t chord) const {
    const bool right = (palette_[chord].root == key_.tonic) == shape_.from_home;
    return right ? ways(0, {chord, false, met_in(chord)}) : 0;
  }

  [[nodiscard]] bool may_follow(std::size_t place, const State& here, std::size_t next) const {
    const bool last = place + 2 == shape_.count;
    if (next == here.chord && (!shape_.may_repeat || here.repeated || last)) return false;
    if (!as_songs_) return true;
    if (!songs_go(palette_[here.chord], palette_[next], key_)) return false;
    if (!last) return true;
    const auto kind = cadence_between(palette_[here.chord], palette_[next], key_);
    return shape_.ending ? kind == shape_.ending : kind.has_value();
  }

  [[nodiscard]] std::uint64_t step_ways(std::size_t place, const State& here, std::size_t next) const {
    return may_follow(place, here, next) ? ways(place + 1, after(here, next)) : 0;
  }

  [[nodiscard]] std::uint64_t onward(std::size_t place, const State& here) const {
    std::uint64_t sum = 0;
    for (std::size_t next = 0; next < palette_.size(); ++next) sum += step_ways(place, here, next);
    return sum;
  }

  const Key& key_;
  const std::vector<Chord>& palette_;
  const PhraseShape& shape_;
  bool as_songs_;
  std::vector<std::vector<std::array<std::uint64_t, states>>> ways_;  ///< by place, chord and the rest of the state
};

}  // namespace

bool songs_go(const Chord& from, const Chord& to, const Key& key) {
  const std::size_t here = place_of(step_of(from, key.tonic));
  const std::size_t there = place_of(step_of(to, key.tonic));
  return here == there || likely_changes()[is_minorish(key.mode) ? 1 : 0][here][there];
}

std::optional<CadenceKind> cadence_between(const Chord& before, const Chord& here, const Key& key) {
  const int from = above_tonic(before, key);
  const int to = above_tonic(here, key);
  const bool from_dominant = (from == 7 && (before.type.has(intervals::major_third) || !before.type.has_third())) ||
                             (from == 11 && before.type.is_diminished());
  const bool plain = !here.type.is_diminished();
  if (from_dominant && to == 0 && plain) return CadenceKind::authentic;
  if (from_dominant && (to == 9 || to == 8) && plain) return CadenceKind::deceptive;
  if (to == 0 && from == 5 && !before.type.is_diminished()) return CadenceKind::plagal;
  const bool to_dominant = to == 7 && (here.type.has(intervals::major_third) || !here.type.has_third());
  if (to_dominant && from != to) return CadenceKind::half;
  return std::nullopt;
}

bool closes_from_seventh(const Chord& before, const Chord& here, const Key& key) {
  return above_tonic(here, key) == 0 && above_tonic(before, key) == 10 && !before.type.is_diminished();
}

std::vector<Chord> phrase(SeedDigits& variation, const Key& key, const std::vector<Chord>& palette,
                          const PhraseShape& shape) {
  PhraseShape wanted = shape;
  for (const bool as_songs : {true, false}) {
    for (const bool exact : {true, false}) {
      if (!exact) wanted.ending.reset();
      const PhraseDrawer drawer(key, palette, wanted, as_songs);
      if (const std::uint64_t total = drawer.total(); total > 0) return drawer.drawn(variation.pick(total));
    }
  }
  return std::vector<Chord>(shape.count, palette.front());  // a palette that cannot do it, like one chord
}

}  // namespace romanesca
