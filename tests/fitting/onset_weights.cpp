// Writes synth/hearing/onset_weights.txt.
//
//   onset_weights SCENES FONT.sf2... >synth/hearing/onset_weights.txt
//
// prints the table to standard output, and to standard error how well it finds the beginnings of chords on a piano that
// it did not see (the first program of the last font): F measure, within 20 ms. Scenes as for tone_weights, with two to
// five chords each. The same fonts give the same table on the same kind of processor.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <thread>

#include "synth/hearing/onset_detector.h"
#include "tests/fitting/perceptron_training.h"
#include "tests/measure/onset_score.h"
#include "tests/measure/other_sounds.h"
#include "tests/measure/piano_scene.h"
#include "tests/measure/soundfont_bank.h"

namespace romanesca::test {
namespace {

struct Moment {
  OnsetViewer::Inputs views;
  float wanted = 0;
};

constexpr double near_s = 0.0045, unclear_s = 0.02;  // to an onset: it is one; it is neither
constexpr double kept_far = 0.25;                    // share of the moments far from onsets that are learnt

Scene chords(std::uint64_t number, const std::vector<NoteBank>& banks) {
  SceneRandom random(15485863 * number + 5);
  SceneSettings settings;
  settings.chords_before = 1 + random.index(4);
  settings.room.telephone = random.chance(0.85);
  const NoteBank& bank = banks[static_cast<std::size_t>(random.index(static_cast<int>(banks.size())))];
  Scene scene = make_scene(random.chance(0.1) ? Deed::silent : Deed::right, bank, settings, random);
  if (random.chance(0.05)) add_at_level(scene.sound, speech_like(scene.sound.size(), random), random.uniform(-25, -10));
  return scene;
}

std::vector<Moment> moments(std::uint64_t number, const std::vector<NoteBank>& banks) {
  const Scene scene = chords(number, banks);
  SceneRandom random(number);
  std::vector<Moment> found;
  OnsetViewer viewer;
  for (const float sample : scene.sound) {
    if (!viewer.push(sample)) continue;
    const double at_s = static_cast<double>(viewer.moment()) / hearing_rate_hz;
    if (at_s < 0.1) continue;
    double distance_s = 1;
    for (const double onset_s : scene.onsets_s) distance_s = std::min(distance_s, std::abs(at_s - onset_s));
    if (distance_s > near_s && distance_s < unclear_s) continue;
    if (distance_s > 0.15 && !random.chance(kept_far)) continue;
    found.push_back({viewer.views(), distance_s <= near_s ? 1.0f : 0.0f});
  }
  return found;
}

int run(int argc, char** argv) {
  if (argc < 3) {
    fmt::print(stderr, "usage: onset_weights SCENES FONT.sf2...\n");
    return 2;
  }
  std::vector<NoteBank> banks, unseen;
  for (int i = 2; i < argc; ++i) {
    for (const auto& [program, velocity] :
         std::initializer_list<std::pair<int, int>>{{0, 95}, {0, 60}, {0, 40}, {1, 90}, {2, 80}, {3, 80}}) {
      auto bank = soundfont_bank(argv[i], program, velocity);
      if (bank) (i + 1 == argc && program == 0 ? unseen : banks).push_back(std::move(*bank));
    }
  }
  for (const int velocity : {50, 90}) banks.push_back(own_piano(velocity));
  const auto scenes = static_cast<std::uint64_t>(std::atoi(argv[1]));
  std::array<std::vector<Moment>, 2> halves;
  const auto some = [&](std::uint64_t half) {
    for (std::uint64_t i = half; i < scenes; i += 2) {
      const std::vector<Moment> more = moments(i, banks);
      halves[half].insert(halves[half].end(), more.begin(), more.end());
    }
  };
  std::thread other(some, 1);
  some(0);
  other.join();
  std::vector<Moment>& learnt = halves[0];
  learnt.insert(learnt.end(), halves[1].begin(), halves[1].end());
  std::vector<Scene> checks;
  for (std::uint64_t i = 0; i < 300; ++i) checks.push_back(chords(10'000'000 + i, unseen));
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
  const auto check = [&](const Perceptron& fitted) {
    OnsetScore score;
    for (const Scene& scene : checks) score.add(onsets_of(fitted, scene.sound), scene.onsets_s);
    fmt::print(stderr, "{}\n", score.text());
  };
  train(network, learnt.size(), row, settings, [&](const std::string& sentence) {
    fmt::print(stderr, "{}: ", sentence);
    check(network);
  });
  const std::string text = network.to_text();
  check(Perceptron::from_text(text));
  fmt::print(
      "# Where notes begin: a perceptron over the views of onset_detector.h; written by tests/fitting/onset_weights\n"
      "# from {} scenes that it made itself. Format: perceptron.h.\n{}",
      scenes, text);
  return 0;
}

}  // namespace
}  // namespace romanesca::test

int main(int argc, char** argv) { return romanesca::test::run(argc, argv); }
