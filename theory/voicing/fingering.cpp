#include "theory/voicing/fingering.h"

#include <algorithm>
#include <array>
#include <cstdlib>

#include "theory/voicing/viterbi_path.h"

namespace romanesca {
namespace {

constexpr int unusual = 3;  // what it costs to leave the usual fingers
constexpr int changed = 5;  // what it costs to change the finger on a key that stays

/// Spans of a pair of fingers in semitones, thumb side first.
struct Reach {
  int least_relaxed, most_relaxed, most_comfortable, most_practical;
};
constexpr std::array<std::array<Reach, 5>, 4> reaches{
    {{{{}, {1, 5, 8, 10}, {3, 7, 10, 12}, {5, 9, 12, 14}, {7, 10, 13, 15}}},
     {{{}, {}, {1, 2, 3, 5}, {3, 4, 5, 7}, {5, 6, 8, 10}}},
     {{{}, {}, {}, {1, 2, 2, 4}, {3, 4, 5, 7}}},
     {{{}, {}, {}, {}, {1, 2, 3, 5}}}}};

/// The middle note of three goes to the finger that lies there: nearer to the lower outer note or to the upper one.
/// A first inversion has its fourth on top, a second inversion at the bottom.
int middle_finger(const Voicing& voicing, Hand hand) {
  const int lower = voicing[1].midi() - voicing[0].midi();
  const int upper = voicing[2].midi() - voicing[1].midi();
  const bool gap_above = upper >= 5 && upper > lower;
  const bool gap_below = lower >= 5 && lower > upper;
  if (hand == Hand::right) return gap_above ? 2 : 3;
  return gap_below ? 2 : 3;
}

/// All ways to give rising fingers to so many notes, in the right hand's order; the left hand's is the reverse.
const std::vector<Fingers>& rising_fingers(std::size_t notes) {
  static const std::array<std::vector<Fingers>, 6> all = [] {
    std::array<std::vector<Fingers>, 6> made;
    for (unsigned set = 1; set < 32; ++set) {
      Fingers fingers;
      for (int finger = 1; finger <= 5; ++finger) {
        if ((set >> (finger - 1) & 1U) != 0) fingers.push_back(finger);
      }
      made[fingers.size()].push_back(std::move(fingers));
    }
    return made;
  }();
  return all[std::min<std::size_t>(notes, 5)];
}

struct FingeringChoice {
  Fingers fingers;
  int cost = 0;
};

std::vector<FingeringChoice> choices_for(const Voicing& voicing, Hand hand) {
  std::vector<FingeringChoice> choices;
  if (voicing.empty() || voicing.size() > 5) return choices;
  const Fingers usual = usual_fingers(voicing, hand);
  for (Fingers fingers : rising_fingers(voicing.size())) {
    if (hand == Hand::left) std::reverse(fingers.begin(), fingers.end());
    const auto hard = strain(voicing, fingers, hand);
    if (!hard) continue;
    const int cost = *hard + (fingers == usual ? 0 : unusual);
    choices.push_back({std::move(fingers), cost});
  }
  return choices;
}

/// Keys that stay under another finger.
int changes_between(const Voicing& from, const Fingers& old_fingers, const Voicing& to, const Fingers& new_fingers) {
  int count = 0;
  for (std::size_t i = 0; i < from.size(); ++i) {
    for (std::size_t j = 0; j < to.size(); ++j) {
      count += from[i].midi() == to[j].midi() && old_fingers[i] != new_fingers[j] ? 1 : 0;
    }
  }
  return count;
}

}  // namespace

Fingers usual_fingers(const Voicing& voicing, Hand hand) {
  Fingers right_order;
  switch (voicing.size()) {
    case 1:
      return {hand == Hand::right ? 1 : 5};
    case 2:
      right_order = {1, 5};
      break;
    case 3:
      right_order = {1, middle_finger(voicing, hand), 5};
      break;
    case 4:
      right_order = {1, 2, 3, 5};
      break;
    case 5:
      right_order = {1, 2, 3, 4, 5};
      break;
    default:
      return {};
  }
  if (hand == Hand::left) std::reverse(right_order.begin(), right_order.end());
  return right_order;
}

std::optional<int> strain(const Voicing& voicing, const Fingers& fingers, Hand hand) {
  if (fingers.size() != voicing.size()) return std::nullopt;
  int sum = 0;
  for (std::size_t i = 0; i < voicing.size(); ++i) {
    for (std::size_t j = i + 1; j < voicing.size(); ++j) {
      // Seen from the thumb: the right hand rises, the left falls.
      const bool right = hand == Hand::right;
      const int inner = right ? fingers[i] : fingers[j];
      const int outer = right ? fingers[j] : fingers[i];
      if (inner >= outer) return std::nullopt;
      const Reach& reach = reaches[static_cast<std::size_t>(inner - 1)][static_cast<std::size_t>(outer - 1)];
      const int span = voicing[j].midi() - voicing[i].midi();
      if (span > reach.most_practical) return std::nullopt;
      sum += std::max(0, reach.least_relaxed - span) + std::max(0, span - reach.most_relaxed) +
             std::max(0, span - reach.most_comfortable);
    }
  }
  return sum;
}

bool can_be_played(const Voicing& voicing, Hand hand) { return !choices_for(voicing, hand).empty(); }

std::vector<Fingers> fingers_for(std::span<const Voicing> voicings, Hand hand) {
  std::vector<std::vector<FingeringChoice>> stops;
  for (const Voicing& voicing : voicings) {
    stops.push_back(choices_for(voicing, hand));
    if (stops.back().empty()) stops.back().push_back({});  // silence, or more than a hand can do
  }
  const auto picks = viterbi_path(
      stops, [](const FingeringChoice& choice) { return choice.cost; },
      [&](std::size_t stop, const FingeringChoice& from, const FingeringChoice& to) {
        if (from.fingers.empty() || to.fingers.empty()) return 0;
        return changed * changes_between(voicings[stop - 1], from.fingers, voicings[stop], to.fingers);
      });
  std::vector<Fingers> result;
  for (std::size_t i = 0; i < picks.size(); ++i) result.push_back(std::move(stops[i][picks[i]].fingers));
  return result;
}

}  // namespace romanesca
