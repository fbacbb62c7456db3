#include "theory/fingering.h"

#include <algorithm>

namespace romanesca {
namespace {

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

}  // namespace

std::vector<int> fingers_for(const Voicing& voicing, Hand hand) {
  std::vector<int> right_order;
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

}  // namespace romanesca
