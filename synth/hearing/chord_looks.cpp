#include "synth/hearing/chord_looks.h"

#include <algorithm>

#include "synth/hearing/chord_network.h"

namespace romanesca {
namespace {

constexpr std::size_t look_frames = 2;  // from one look to the next
constexpr double look_s = static_cast<double>(look_frames) * PitchFrames::seconds;
constexpr double look_reach_s = 0.14;
// How much the network counts beside the templates; found on songs and styles that it was fitted to.
constexpr double network_share = 0.6;

/// The sum until a time, between the places of the grid in proportion.
template <std::size_t count>
std::array<double, count> until(const std::vector<std::array<double, count>>& sums, double at_s) {
  const double place = std::clamp(at_s / look_s + 0.5, 0.0, static_cast<double>(sums.size() - 1) - 0.001);
  const auto whole = static_cast<std::size_t>(place);
  const double share = place - static_cast<double>(whole);
  std::array<double, count> sum{};
  for (std::size_t i = 0; i < count; ++i) sum[i] = sums[whole][i] * (1 - share) + sums[whole + 1][i] * share;
  return sum;
}

template <std::size_t count>
void append(std::vector<std::array<double, count>>& sums, const std::array<float, count>& look) {
  std::array<double, count> sum = sums.back();
  for (std::size_t i = 0; i < count; ++i) sum[i] += static_cast<double>(look[i]) * look_s;
  sums.push_back(sum);
}

/// Mixes the mean of the network's looks between two times into other evidence.
template <std::size_t count>
void mix(std::array<float, count>& evidence, const std::vector<std::array<double, count>>& sums, double from_s,
         double to_s) {
  if (sums.empty()) return;
  const auto before = until(sums, from_s);
  const auto after = until(sums, to_s);
  for (std::size_t i = 0; i < count; ++i) {
    const double mean = (after[i] - before[i]) / std::max(to_s - from_s, 1e-3);
    evidence[i] = static_cast<float>((1 - network_share) * static_cast<double>(evidence[i]) + network_share * mean);
  }
}

}  // namespace

ChordLooks::ChordLooks(const PitchFrames& frames, const ChordNetwork* network) : frames_(frames) {
  const std::size_t looks = frames.rows.size() / look_frames + 1;
  short_looks_.reserve(looks + 1);
  short_looks_.emplace_back();
  if (network != nullptr) {
    network_chords_.emplace_back();
    network_bass_.emplace_back();
  }
  for (std::size_t i = 0; i < looks; ++i) {
    const double at_s = static_cast<double>(i) * look_s;
    ChordEvidence look = classifier_.chords(frames.chroma(at_s - look_reach_s, at_s + look_reach_s));
    if (network != nullptr) {
      const NetworkLook heard = network->look(ChordNetwork::moment_at(frames, at_s));
      append(network_chords_, heard.chords);
      append(network_bass_, heard.bass);
      constexpr auto share = static_cast<float>(network_share);
      for (std::size_t chord = 0; chord < chord_classes; ++chord)
        look[chord] = (1 - share) * look[chord] + share * heard.chords[chord];
    }
    append(short_looks_, look);
  }
}

ChordEvidence ChordLooks::sum_between(double from_s, double to_s) const {
  const auto before = until(short_looks_, from_s);
  const auto after = until(short_looks_, to_s);
  ChordEvidence sum{};
  for (std::size_t chord = 0; chord < chord_classes; ++chord)
    sum[chord] = static_cast<float>(after[chord] - before[chord]);
  return sum;
}

ChordEvidence ChordLooks::chord_at(double from_s, double to_s) const {
  ChordEvidence evidence = classifier_.chords(frames_.chroma(from_s + 0.04, to_s - 0.02));
  mix(evidence, network_chords_, from_s, to_s);
  return evidence;
}

BassEvidence ChordLooks::bass_at(double from_s, double to_s) const {
  BassEvidence evidence = classifier_.bass(frames_.chroma(from_s + 0.04, to_s - 0.02));
  mix(evidence, network_bass_, from_s, to_s);
  return evidence;
}

}  // namespace romanesca
