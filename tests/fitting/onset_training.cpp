#include "tests/fitting/onset_training.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <thread>

#include "tests/fitting/perceptron_training.h"

namespace romanesca::test {
namespace {

struct Moment {
  OnsetViewer::Inputs views;
  float wanted = 0;
};

constexpr double near_s = 0.0045, unclear_near_s = 0.02;  // to an onset: it is one; it is neither
constexpr double kept_far = 0.25;                         // share of the moments far from onsets that are learnt
constexpr double glide_s = 0.08;                          // to each side of one that is unclear

double distance_to(const std::vector<double>& moments_s, double at_s) {
  double distance_s = 1;
  for (const double moment_s : moments_s) distance_s = std::min(distance_s, std::abs(at_s - moment_s));
  return distance_s;
}

void add_moments(const OnsetScene& scene, SceneRandom random, std::vector<Moment>& found) {
  OnsetViewer viewer;
  for (const float sample : scene.sound) {
    if (!viewer.push(sample)) continue;
    const double at_s = static_cast<double>(viewer.moment()) / hearing_rate_hz;
    if (at_s < 0.1) continue;
    const double distance_s = distance_to(scene.onsets_s, at_s);
    if (distance_s > near_s && distance_s < unclear_near_s) continue;
    if (distance_s > near_s && distance_to(scene.unclear_s, at_s) < glide_s) continue;
    if (distance_s > 0.15 && !random.chance(kept_far)) continue;
    found.push_back({viewer.views(), distance_s <= near_s ? 1.0f : 0.0f});
  }
}

}  // namespace

std::string fit_onset_network(std::uint64_t count, const std::function<OnsetScene(std::uint64_t)>& scene,
                              const std::function<void(const Perceptron&)>& check) {
  std::array<std::vector<Moment>, 2> halves;
  const auto some = [&](std::uint64_t half) {
    for (std::uint64_t i = half; i < count; i += 2) add_moments(scene(i), SceneRandom(i), halves[half]);
  };
  std::thread other(some, 1);
  some(0);
  other.join();
  std::vector<Moment>& learnt = halves[0];
  learnt.insert(learnt.end(), halves[1].begin(), halves[1].end());
  fmt::print(stderr, "{} moments\n", learnt.size());
  const std::array<std::size_t, 4> sizes{OnsetViewer::inputs, 24, 8, 1};
  Perceptron network(sizes);
  TrainingSettings settings;
  settings.batch = 512;
  settings.dropped = 0.05;
  settings.epochs = 10;
  const auto row = [&](std::size_t number, std::span<float> inputs) {
    std::copy(learnt[number].views.begin(), learnt[number].views.end(), inputs.begin());
    return learnt[number].wanted;
  };
  train(network, learnt.size(), row, settings, [&](const std::string& sentence) {
    fmt::print(stderr, "{}: ", sentence);
    check(network);
  });
  std::string text = network.to_text();
  check(Perceptron::from_text(text));
  return text;
}

}  // namespace romanesca::test
