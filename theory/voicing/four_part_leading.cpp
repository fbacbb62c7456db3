#include "theory/voicing/four_part_leading.h"

#include <algorithm>
#include <cstdlib>

namespace romanesca {
namespace {

// What a leap costs by its semitones, 0 to 12. Steps are nearly free, a tritone is dear; the bass leaps by fourths,
// fifths and octaves as it likes, inner voices least of all. Found by trying examples, no source.
using LeapCosts = std::array<std::uint8_t, 13>;
constexpr LeapCosts bass_leaps{0, 1, 1, 3, 3, 2, 10, 2, 8, 8, 12, 12, 6};
constexpr LeapCosts inner_leaps{0, 1, 2, 4, 5, 8, 16, 10, 14, 15, 18, 20, 22};
constexpr LeapCosts soprano_leaps{0, 1, 1, 3, 4, 6, 16, 9, 11, 14, 18, 20, 16};
constexpr std::array<const LeapCosts*, part_count> leaps{&bass_leaps, &inner_leaps, &inner_leaps, &soprano_leaps};
constexpr int beyond_octave = 60;
constexpr int overlap = 10;
constexpr int augmented_step = 12;
constexpr int fallen_leading_tone = 6;
constexpr int similar_outer = 3;
constexpr int oblique_outer = 1;
constexpr int hidden_outer = 12;
constexpr int all_same_way = 5;
constexpr std::size_t outer_pair = 2;  ///< of voice_pairs: bass and soprano

/// Pairs of which both voices move, by the set of voices that move.
constexpr std::array<std::uint8_t, 16> moving_pairs = [] {
  std::array<std::uint8_t, 16> pairs{};
  for (unsigned moving = 0; moving < 16; ++moving) {
    for (std::size_t i = 0; i < voice_pairs.size(); ++i) {
      if ((moving >> voice_pairs[i][0] & 1U) != 0 && (moving >> voice_pairs[i][1] & 1U) != 0) {
        pairs[moving] = static_cast<std::uint8_t>(pairs[moving] | 1U << i);
      }
    }
  }
  return pairs;
}();

constexpr std::array<std::uint8_t, 64> bit_counts = [] {
  std::array<std::uint8_t, 64> counts{};
  for (unsigned bits = 1; bits < 64; ++bits) counts[bits] = static_cast<std::uint8_t>(counts[bits / 2] + bits % 2);
  return counts;
}();

using Moves = std::array<int, part_count>;

bool leading_tone_keeps(int move, std::size_t voice, const Tendency& tendency) {
  if (move == 1 || move == 0) return true;
  const bool inner = voice != 0 && voice != part_count - 1;
  return move < 0 && ((inner && move == -tendency.inner_fall) || (voice == 0 && move == -tendency.bass_fall));
}

LeadingFaults faults_of(const PartVoicing& from, const PartVoicing& to, const Tendency& tendency, const Moves& moves) {
  unsigned moving = 0;
  for (std::size_t v = 0; v < part_count; ++v) moving |= (moves[v] != 0 ? 1U : 0U) << v;
  LeadingFaults faults;
  faults.parallel_fifths = static_cast<std::uint8_t>(from.fifth_pairs & to.fifth_pairs & moving_pairs[moving]);
  faults.parallel_octaves = static_cast<std::uint8_t>(from.octave_pairs & to.octave_pairs & moving_pairs[moving]);
  const unsigned sevenths = tendency.dissonance_falls ? from.falling_voices : 0U;
  const unsigned leading = from.rising_voices;
  for (std::size_t v = 0; (sevenths | leading) >> v != 0; ++v) {
    const auto bit = static_cast<std::uint8_t>(1U << v);
    if ((sevenths & bit) != 0 && (moves[v] > 0 || moves[v] < -2)) faults.sevenths |= bit;
    if ((leading & bit) != 0 && !leading_tone_keeps(moves[v], v, tendency)) {
      faults.leading_tones |= bit;
    }
  }
  return faults;
}

/// A second or fourth and the like made larger than in the scale. A chromatic semitone on one letter is none.
bool is_augmented(int move, int fifths) {
  const int rising = move > 0 ? fifths : -fifths;
  return move != 0 && rising >= 6 && rising != 7;
}

int outer_cost(const PartVoicing& to, const Moves& moves) {
  const int bass = moves.front();
  const int soprano = moves.back();
  if (bass == 0 && soprano == 0) return 0;
  if (bass == 0 || soprano == 0) return oblique_outer;
  if ((bass > 0) != (soprano > 0)) return 0;
  const bool perfect = (((to.fifth_pairs | to.octave_pairs) >> outer_pair) & 1) != 0;
  return similar_outer + (perfect && std::abs(soprano) > 2 ? hidden_outer : 0);
}

Moves moves_of(const PartVoicing& from, const PartVoicing& to) {
  Moves moves;
  for (std::size_t v = 0; v < part_count; ++v) moves[v] = to.midi[v] - from.midi[v];
  return moves;
}

}  // namespace

LeadingFaults faults_between(const PartVoicing& from, const PartVoicing& to, const Tendency& tendency) {
  return faults_of(from, to, tendency, moves_of(from, to));
}

std::int64_t leading_cost(const PartVoicing& from, const PartVoicing& to, const Tendency& tendency) {
  const Moves moves = moves_of(from, to);
  int cost = outer_cost(to, moves);
  int rising = 0;
  int falling = 0;
  for (std::size_t v = 0; v < part_count; ++v) {
    const int size = std::abs(moves[v]);
    cost += size <= 12 ? (*leaps[v])[static_cast<std::size_t>(size)] : beyond_octave + size;
    rising += moves[v] > 0 ? 1 : 0;
    falling += moves[v] < 0 ? 1 : 0;
    if (is_augmented(moves[v], to.fifths[v] - from.fifths[v])) cost += augmented_step;
    if (v + 1 < part_count && (to.midi[v] > from.midi[v + 1] || to.midi[v + 1] < from.midi[v])) cost += overlap;
    if ((from.rising_voices >> v & 1) != 0 && moves[v] < 0) cost += fallen_leading_tone;
  }
  if (rising == 4 || falling == 4) cost += all_same_way;
  const LeadingFaults faults = faults_of(from, to, tendency, moves);
  const int broken = bit_counts[faults.parallel_fifths] + bit_counts[faults.parallel_octaves] +
                     bit_counts[faults.leading_tones] + bit_counts[faults.sevenths];
  return rule_cost * broken + cost;
}

}  // namespace romanesca
