#include "synth/hearing/tone_network.h"

#include <algorithm>
#include <cmath>

namespace romanesca {

void ToneNetwork::gather(const ToneViews& views, int pitch_class, Inputs& seen) noexcept {
  const auto first = static_cast<std::ptrdiff_t>((pitch_class + 120 - lowest_heard_midi) % 12 * bins_per_semitone);
  auto at = seen.begin();
  for (const auto& row : views.rows) at = std::copy_n(row.begin() + first, seen_bins, at);
}

std::array<float, 12> ToneNetwork::probabilities(const ToneViews& views) const noexcept {
  std::array<float, 12> found{};
  Inputs seen;
  for (int pitch_class = 0; pitch_class < 12; ++pitch_class) {
    gather(views, pitch_class, seen);
    float output = 0;
    network_.compute(seen, {&output, 1});
    found[static_cast<std::size_t>(pitch_class)] = 1 / (1 + std::exp(-output));
  }
  return found;
}

}  // namespace romanesca
