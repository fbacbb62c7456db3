#include "theory/voicing/voice_leading.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <limits>
#include <map>
#include <tuple>

#include "theory/voicing/shared_path.h"

namespace romanesca {
namespace {

constexpr int free_leap = 4;   // semitones of the top voice that cost nothing beyond their movement
constexpr int free_span = 11;  // semitones of stretch likewise

}  // namespace

int movement(const Voicing& from, const Voicing& to) {
  // least[j]: the cheapest way to pair the first i notes of one chord and the first j of the other, every note paired.
  constexpr int never = std::numeric_limits<int>::max() / 2;
  std::vector<int> last(to.size() + 1, never);
  std::vector<int> row(to.size() + 1, never);
  last[0] = 0;
  for (const Pitch& a : from) {
    row[0] = never;
    for (std::size_t j = 1; j <= to.size(); ++j) {
      const int cost = std::abs(a.midi() - to[j - 1].midi());
      row[j] = cost + std::min({last[j - 1], last[j], row[j - 1]});
    }
    std::swap(last, row);
  }
  return last.back();
}

int total_movement(std::span<const Voicing> voicings, bool loops) {
  int semitones = 0;
  for (std::size_t i = 1; i < voicings.size(); ++i) semitones += movement(voicings[i - 1], voicings[i]);
  if (loops && !voicings.empty()) semitones += movement(voicings.back(), voicings.front());
  return semitones;
}

int cost_of(const Voicing& voicing, const VoicingRules& rules) {
  int sum = 0;
  for (const Pitch& note : voicing) sum += note.midi();
  const int size = static_cast<int>(voicing.size());
  const int twice_off = std::abs(2 * sum - size * (rules.range.lowest + rules.range.highest)) / size;
  const int stretch = voicing.back().midi() - voicing.front().midi();
  return voice_leading_cost.off_the_middle * twice_off / 2 +
         voice_leading_cost.wide_span * std::max(0, stretch - free_span);
}

int cost_between(const Voicing& from, const Voicing& to) {
  const int leap = std::abs(to.back().midi() - from.back().midi());
  return voice_leading_cost.semitone * movement(from, to) + voice_leading_cost.top_leap * std::max(0, leap - free_leap);
}

VoiceLeading lead_voices(std::span<const Chord> chords, const VoicingRules& rules, bool loops) {
  SharedStops<Voicing> stops;
  std::map<std::tuple<int, std::uint32_t, int>, std::size_t> lists;
  for (const Chord& chord : chords) {
    const auto [list, is_new] =
        lists.try_emplace({chord.root.fifths(), chord.type.mask(), chord.bass.fifths()}, lists.size());
    if (is_new) {
      std::vector<Voicing> choices = voicings(chord, rules);
      std::vector<int> costs;
      for (const Voicing& voicing : choices) costs.push_back(cost_of(voicing, rules));
      stops.add_list(std::move(choices), std::move(costs));
    }
    stops.add_stop(list->second);
  }
  VoiceLeading result;
  const std::vector<std::size_t> picks = stops.cheapest_path(cost_between, loops);
  for (std::size_t i = 0; i < picks.size(); ++i) result.right.push_back(stops.choices_at(i)[picks[i]]);
  result.semitones = total_movement(result.right, loops);
  return result;
}

}  // namespace romanesca
