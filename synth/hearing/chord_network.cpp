#include "synth/hearing/chord_network.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

/// Takes the logarithm of the sum of all from each.
template <std::size_t count>
void normalise(std::array<float, count>& logarithms) {
  const float highest = *std::max_element(logarithms.begin(), logarithms.end());
  float sum = 0;
  for (const float value : logarithms) sum += std::exp(value - highest);
  for (float& value : logarithms) value -= highest + std::log(sum);
}

/// The frames between two times, at least one.
std::span<const std::array<float, pitch_bins>> frames_between(const PitchFrames& frames, double from_s, double to_s) {
  const auto count = static_cast<double>(frames.rows.size());
  const auto first = static_cast<std::size_t>(std::clamp(std::ceil(from_s / PitchFrames::seconds), 0.0, count - 1));
  const auto end = static_cast<std::size_t>(std::clamp(std::ceil(to_s / PitchFrames::seconds), 0.0, count));
  return std::span(frames.rows).subspan(first, std::max(end, first + 1) - first);
}

}  // namespace

ChordNetwork::ChordNetwork() : network_(Perceptron::from_text(chord_network_texts().front().text)) {}

ChordNetwork::Moment ChordNetwork::moment_at(const PitchFrames& frames, double at_s) {
  Moment moment;
  if (frames.rows.empty()) return moment;
  const auto near = frames_between(frames, at_s - moment_s, at_s + moment_s);
  for (const auto& row : near) {
    for (std::size_t i = 0; i < pitch_bins; ++i) moment.now[i] += row[i] / static_cast<float>(near.size());
  }
  const auto wide = frames_between(frames, at_s - around_s, at_s + around_s);
  for (const auto& row : wide) {
    for (std::size_t i = 0; i < moment.around.size(); ++i)
      moment.around[i] += row[i * bins_per_semitone + 1] / static_cast<float>(wide.size());
  }
  return moment;
}

void ChordNetwork::gather(const Moment& moment, int root, std::span<float> seen) noexcept {
  // From the root at or below the lowest note that is heard.
  const auto missing = static_cast<std::size_t>((lowest_heard_midi - root) % 12);
  std::fill(seen.begin(), seen.end(), 0.0f);
  const std::size_t moment_at = missing * bins_per_semitone;
  std::copy_n(moment.now.begin(), std::min(moment.now.size(), moment_inputs - moment_at),
              seen.begin() + static_cast<std::ptrdiff_t>(moment_at));
  std::copy_n(moment.around.begin(), std::min(moment.around.size(), around_inputs - missing),
              seen.begin() + static_cast<std::ptrdiff_t>(moment_inputs + missing));
}

NetworkLook ChordNetwork::look_of(const Outputs& answers) noexcept {
  NetworkLook look;
  for (std::size_t root = 0; root < 12; ++root) {
    for (std::size_t quality = 0; quality < chord_qualities; ++quality)
      look.chords[root * chord_qualities + quality] = answers[root][quality];
    look.bass[root] = answers[root][bass_output];
    look.chords[no_chord_class] += answers[root][none_output] / 12;
  }
  normalise(look.chords);
  normalise(look.bass);
  return look;
}

NetworkLook ChordNetwork::look(const Moment& moment) const noexcept {
  Outputs heard{};
  std::array<float, inputs> seen{};
  for (int root = 0; root < 12; ++root) {
    gather(moment, root, seen);
    network_.compute(seen, heard[static_cast<std::size_t>(root)]);
  }
  return look_of(heard);
}

}  // namespace romanesca
