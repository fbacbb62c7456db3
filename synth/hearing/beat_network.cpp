#include "synth/hearing/beat_network.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

/// The greatest rise of each group in frames from `first` to before `end`; those outside the recording are silent.
void greatest(const OnsetStrength& onsets, std::ptrdiff_t first, std::ptrdiff_t end, std::span<float> out) noexcept {
  std::fill(out.begin(), out.end(), 0.0f);
  const auto count = static_cast<std::ptrdiff_t>(onsets.by_group.size());
  for (std::ptrdiff_t i = std::max<std::ptrdiff_t>(first, 0); i < std::min(end, count); ++i) {
    const auto& row = onsets.by_group[static_cast<std::size_t>(i)];
    for (std::size_t group = 0; group < row.size(); ++group) out[group] = std::max(out[group], row[group]);
  }
}

float probability(float logit) { return 1 / (1 + std::exp(-logit)); }

}  // namespace

BeatNetwork::BeatNetwork() : network_(Perceptron::from_text(beat_network_texts().front().text)) {}

void BeatNetwork::gather(const OnsetStrength& onsets, std::size_t frame, std::span<float> seen) noexcept {
  const auto here = static_cast<std::ptrdiff_t>(frame);
  std::size_t at = 0;
  const auto see = [&](std::ptrdiff_t first, std::ptrdiff_t end) {
    greatest(onsets, first, end, seen.subspan(at, OnsetStrength::groups));
    at += OnsetStrength::groups;
  };
  see(here, here + 1);
  std::ptrdiff_t out = 1;
  for (const std::size_t frames : step_frames) {
    const auto width = static_cast<std::ptrdiff_t>(frames);
    see(here + out, here + out + width);
    see(here - out - width + 1, here - out + 1);
    out += width;
  }
}

BeatNetwork::Beats BeatNetwork::beats(const OnsetStrength& onsets) const {
  const std::size_t frames = onsets.by_group.size();
  Beats found{std::vector<float>(frames), std::vector<float>(frames)};
  std::array<float, inputs> seen{};
  std::array<float, outputs> answer{};
  for (std::size_t frame = 0; frame < frames; ++frame) {
    gather(onsets, frame, seen);
    network_.compute(seen, answer);
    found.beat[frame] = probability(answer[0]);
    found.line[frame] = probability(answer[1]);
  }
  return found;
}

}  // namespace romanesca
