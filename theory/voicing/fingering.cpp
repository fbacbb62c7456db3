#include "theory/voicing/fingering.h"

#include <algorithm>
#include <array>
#include <cstddef>

namespace romanesca {
namespace {

/// Spans of a pair of fingers in semitones, thumb side first.
struct Reach {
  int least_relaxed, most_relaxed, most_comfortable, most_practical;
};
constexpr std::array<std::array<Reach, 5>, 4> reaches{
    {{{{}, {1, 5, 8, 10}, {3, 7, 10, 12}, {5, 9, 12, 14}, {7, 10, 13, 15}}},
     {{{}, {}, {1, 2, 3, 5}, {3, 4, 5, 7}, {5, 6, 8, 10}}},
     {{{}, {}, {}, {1, 2, 2, 4}, {3, 4, 5, 7}}},
     {{{}, {}, {}, {}, {1, 2, 3, 5}}}}};

/// A gap between neighbouring notes as musicians count it, by sound: 2 a second, 3 a third, to 6 for a sixth or more.
int step_of(int semitones) {
  constexpr std::array<int, 8> steps{2, 2, 2, 3, 3, 4, 4, 5};
  return semitones < static_cast<int>(steps.size()) ? steps[static_cast<std::size_t>(semitones)] : 6;
}

/// The finger on the middle one of three notes. @param inner the step on the thumb's side @param outer the other one
int middle_finger(int inner, int outer) {
  constexpr int none = 3;  // no hand plays it
  // Rows: inner 2 to 6; columns: outer 2 to 6.
  constexpr std::array<std::array<int, 5>, 5> table{
      {{2, 2, 2, 2, 2}, {3, 3, 2, 2, 2}, {4, 3, 2, 2, 2}, {4, 3, 3, 2, none}, {4, 4, 3, none, none}}};
  return table[static_cast<std::size_t>(inner - 2)][static_cast<std::size_t>(outer - 2)];
}

/// The finger on the outer note of a shape of several notes, by its width in semitones.
int outer_finger(std::size_t notes, int width) {
  if (notes == 2) return width <= 2 ? 2 : width <= 4 ? 3 : width == 5 ? 4 : 5;
  if (notes == 3) return width <= 4 ? 3 : width == 5 ? 4 : 5;
  return notes == 4 && width <= 5 ? 4 : 5;
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

}  // namespace

Fingers usual_fingers(const Voicing& voicing, Hand hand) {
  const std::size_t notes = voicing.size();
  if (notes == 0 || notes > 5) return {};
  if (notes == 1) return {hand == Hand::right ? 1 : 5};
  // Gaps from the thumb's side: the right hand rises, the left falls.
  std::array<int, 4> steps{};
  for (std::size_t i = 0; i + 1 < notes; ++i) {
    const std::size_t lower = hand == Hand::right ? i : notes - 2 - i;
    steps[i] = step_of(voicing[lower + 1].midi() - voicing[lower].midi());
  }
  const int outer = outer_finger(notes, voicing.back().midi() - voicing.front().midi());
  Fingers fingers{1, outer};
  if (notes == 3) fingers = {1, std::min(middle_finger(steps[0], steps[1]), outer - 1), outer};
  if (notes == 4) fingers = {1, 2, outer == 5 && steps[1] > steps[2] ? 4 : 3, outer};
  if (notes == 5) fingers = {1, 2, 3, 4, 5};
  if (hand == Hand::left) std::reverse(fingers.begin(), fingers.end());
  return fingers;
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

Fingers fingers_of(const Voicing& voicing, Hand hand) {
  if (voicing.empty() || voicing.size() > 5) return {};
  Fingers usual = usual_fingers(voicing, hand);
  if (strain(voicing, usual, hand)) return usual;
  Fingers best;
  std::optional<int> least;
  for (Fingers fingers : rising_fingers(voicing.size())) {
    if (hand == Hand::left) std::reverse(fingers.begin(), fingers.end());
    const auto hard = strain(voicing, fingers, hand);
    if (!hard || (least && *least <= *hard)) continue;
    least = hard;
    best = std::move(fingers);
  }
  return best;
}

bool can_be_played(const Voicing& voicing, Hand hand) { return !fingers_of(voicing, hand).empty(); }

std::vector<Fingers> fingers_for(std::span<const Voicing> voicings, Hand hand) {
  std::vector<Fingers> all;
  all.reserve(voicings.size());
  for (const Voicing& voicing : voicings) all.push_back(fingers_of(voicing, hand));
  return all;
}

}  // namespace romanesca
