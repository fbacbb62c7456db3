// Writes synth/hearing/onset_weights.txt.
//
//   onset_weights SCENES FONT.sf2... >synth/hearing/onset_weights.txt
//
// prints the table to standard output, and to standard error how well it finds the beginnings of chords on a piano that
// it did not see (the first program of the last font): F measure, within 20 ms. Scenes as for tone_weights, with two to
// five chords each. The same fonts give the same table on the same kind of processor.
#include <fmt/format.h>

#include <cstdlib>

#include "tests/fitting/onset_training.h"
#include "tests/measure/onset_score.h"
#include "tests/measure/other_sounds.h"
#include "tests/measure/piano_scene.h"
#include "tests/measure/soundfont_bank.h"

namespace romanesca::test {
namespace {

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
  std::vector<Scene> checks;
  for (std::uint64_t i = 0; i < 300; ++i) checks.push_back(chords(10'000'000 + i, unseen));
  const auto check = [&](const Perceptron& fitted) {
    OnsetScore score;
    for (const Scene& scene : checks) score.add(onsets_of(fitted, scene.sound), scene.onsets_s);
    fmt::print(stderr, "{}\n", score.text());
  };
  const auto scene = [&](std::uint64_t number) {
    Scene made = chords(number, banks);
    return OnsetScene{std::move(made.sound), std::move(made.onsets_s), {}};
  };
  const std::string text = fit_onset_network(scenes, scene, check);
  fmt::print(
      "# Where notes begin: a perceptron over the views of onset_detector.h; written by tests/fitting/onset_weights\n"
      "# from {} scenes that it made itself. Format: perceptron.h.\n{}",
      scenes, text);
  return 0;
}

}  // namespace
}  // namespace romanesca::test

int main(int argc, char** argv) { return romanesca::test::run(argc, argv); }
