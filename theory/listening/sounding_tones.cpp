#include "theory/listening/sounding_tones.h"

#include <cstddef>

namespace romanesca {
namespace {

// The first two lie between the two pairs that tests/fitting/tone_weights prints for a piano of a SoundFont, the others
// are judgement; tests/measure/hearing_figures measures what they give.
constexpr float least_of_right = 0.3f, most_beside_right = 0.7f;
constexpr float surely_there = 0.85f, surely_missing = 0.12f;

constexpr int perfect_fifth_above = 7, minor_seventh_above = 10, major_seventh_above = 11;
constexpr int least_seventh_above = 9;  // a diminished one, or a sixth

}  // namespace

ToneAnswer answer_to(const std::array<float, 12>& probability, const AskedTones& asked) noexcept {
  const auto above_root = [&](int interval) { return 1U << static_cast<unsigned>((asked.root + interval) % 12); };
  bool has_seventh = false;
  for (int interval = least_seventh_above; interval < 12; ++interval)
    has_seventh = has_seventh || (asked.tones & above_root(interval)) != 0;
  const unsigned needed = asked.tones & ~above_root(perfect_fifth_above);
  const unsigned sevenths = has_seventh ? 0U : above_root(minor_seventh_above) | above_root(major_seventh_above);
  const unsigned allowed = asked.tones | asked.also_fine | sevenths;
  ToneAnswer answer;
  bool right = true;
  for (std::size_t i = 0; i < probability.size(); ++i) {
    const unsigned tone = 1U << i;
    const float heard = probability[i];
    if ((asked.tones & tone) != 0 && heard < surely_there) answer.whole = false;
    if ((needed & tone) != 0) {
      right = right && heard >= least_of_right;
      if (heard <= surely_missing) answer.missing |= tone;
    } else if ((allowed & tone) == 0) {
      right = right && heard <= most_beside_right;
      if (heard >= surely_there) answer.foreign |= tone;
    }
  }
  if (right) {
    answer.kind = ToneAnswer::Kind::right;
  } else if (answer.missing != 0 || answer.foreign != 0) {
    answer.kind = ToneAnswer::Kind::wrong;
  }
  return answer;
}

}  // namespace romanesca
