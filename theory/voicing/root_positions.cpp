#include "theory/voicing/root_positions.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <limits>
#include <map>
#include <tuple>

#include "theory/voicing/fingering.h"
#include "theory/voicing/voice_leading.h"

namespace romanesca {
namespace {

constexpr HandRange lowest_roots{55, 60};  ///< G3 to C4: where the octave of the roots may begin
constexpr int best_lowest = 60;            ///< middle C
constexpr int lowest_inverted = 53;        ///< F3
constexpr int highest_inverted = 76;       ///< E5
constexpr std::size_t seventh_notes = 3;   ///< of a chord with a seventh or sixth

/// The tones in the order of the shape, from low to high; the first one is lowest.
std::vector<PitchClass> turned(std::vector<PitchClass> tones, std::size_t lowest) {
  const int from = tones[lowest].semitone();
  std::stable_sort(tones.begin(), tones.end(), [&](PitchClass a, PitchClass b) {
    return (a.semitone() - from + 12) % 12 < (b.semitone() - from + 12) % 12;
  });
  return tones;
}

Voicing stacked_up(const std::vector<PitchClass>& tones, int from) {
  Voicing voicing;
  for (const PitchClass tone : tones) {
    voicing.push_back(lowest_at_or_above(tone, voicing.empty() ? from : voicing.back().midi() + 1));
  }
  return voicing;
}

bool is_playable(const Voicing& voicing, int span) {
  const bool muddy = voicing.size() > 2 && voicing[1].midi() - voicing[0].midi() == 1;
  return !muddy && voicing.back().midi() - voicing.front().midi() <= span && can_be_played(voicing, Hand::right);
}

/// The one shape that a beginner plays for the chord, from its lowest tone up.
std::vector<PitchClass> shape_of(const Chord& chord, int span) {
  std::vector<PitchClass> tones = right_hand_tones(chord);
  const std::vector<Interval> order = order_of_omission(chord, false);
  const bool seventh = seventh_of(chord).has_value();
  for (std::size_t next = 0;; ++next) {
    if (!seventh || tones.size() <= seventh_notes) {
      // The root lowest if it can be, else the third; the other turns of seventh chords only where nothing is left.
      const std::size_t turns = seventh && tones.size() > 2 ? 2 : tones.size();
      for (std::size_t lowest = 0; lowest < std::min(turns, tones.size()); ++lowest) {
        std::vector<PitchClass> shape = turned(tones, lowest);
        if (is_playable(stacked_up(shape, best_lowest), span)) return shape;
      }
    }
    const auto found =
        next < order.size() ? std::find(tones.begin(), tones.end(), chord.root + order[next]) : tones.end();
    if (found != tones.end() && tones.size() > 1) tones.erase(found);
  }
}

/// That one chord follows another so many times, by their numbers.
struct Change {
  std::size_t from = 0, to = 0;
  std::int64_t count = 0;
};

std::int64_t moved(const std::vector<Voicing>& places, const std::vector<Change>& changes) {
  std::int64_t semitones = 0;
  for (const Change& change : changes) semitones += change.count * movement(places[change.from], places[change.to]);
  return semitones;
}

/// A shape that begins above its root lies an octave lower where it is high, or where the hand moves less then.
/// @param changes_of for each chord those from and to it
void lower_inverted(std::vector<Voicing>& places, const std::vector<const Chord*>& chords,
                    const std::vector<std::vector<Change>>& changes_of) {
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (places[i].front().name() == chords[i]->root) continue;
    const Voicing high = places[i];
    const std::int64_t above = moved(places, changes_of[i]);
    for (Pitch& note : places[i]) note = note - intervals::octave;
    const bool too_low = places[i].front().midi() < lowest_inverted;
    const bool too_high = high.back().midi() > highest_inverted;
    if (too_low || (!too_high && above < moved(places, changes_of[i]))) places[i] = high;
  }
}

}  // namespace

std::vector<Voicing> root_positions(std::span<const Chord> chords, int span) {
  // Equal chords share a shape, and the changes between different ones are counted: the song is read once.
  std::map<std::tuple<int, std::uint32_t, int>, std::size_t> numbers;
  std::vector<const Chord*> different;
  std::vector<std::vector<PitchClass>> shapes;
  std::vector<std::size_t> which;
  for (const Chord& chord : chords) {
    const auto [number, is_new] =
        numbers.try_emplace({chord.root.fifths(), chord.type.mask(), chord.bass.fifths()}, numbers.size());
    if (is_new) {
      different.push_back(&chord);
      shapes.push_back(shape_of(chord, span));
    }
    which.push_back(number->second);
  }
  std::map<std::pair<std::size_t, std::size_t>, std::int64_t> counts;
  for (std::size_t i = 1; i < which.size(); ++i) {
    if (which[i - 1] != which[i]) ++counts[{which[i - 1], which[i]}];
  }
  std::vector<Change> changes;
  std::vector<std::vector<Change>> changes_of(different.size());
  for (const auto& [pair, count] : counts) {
    changes.push_back({pair.first, pair.second, count});
    changes_of[pair.first].push_back(changes.back());
    changes_of[pair.second].push_back(changes.back());
  }
  std::vector<Voicing> best;
  std::tuple<std::int64_t, std::int64_t> least{std::numeric_limits<std::int64_t>::max(), 0};
  for (int lowest = lowest_roots.highest; lowest >= lowest_roots.lowest; --lowest) {
    std::vector<Voicing> places;
    for (std::size_t i = 0; i < different.size(); ++i) {
      places.push_back(stacked_up(shapes[i], lowest_at_or_above(different[i]->root, lowest).midi()));
    }
    lower_inverted(places, different, changes_of);
    std::int64_t away = 0;
    for (const Voicing& place : places) away += std::abs(place.front().midi() - best_lowest);
    const std::tuple cost(moved(places, changes), away);
    if (cost >= least) continue;
    least = cost;
    best = std::move(places);
  }
  std::vector<Voicing> result;
  // cppcheck-suppress containerOutOfBounds; one place of the lowest root at least is tried
  for (const std::size_t each : which) result.push_back(best[each]);
  return result;
}

}  // namespace romanesca
