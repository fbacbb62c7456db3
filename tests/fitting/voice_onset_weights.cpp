// Writes synth/hearing/voice_onset_weights.txt.
//
//   voice_onset_weights SCENES FONT.sf2... >synth/hearing/voice_onset_weights.txt
//
// prints the table to standard output, and to standard error how well it finds the beginnings of notes of a synthetic
// singer whom it did not hear (the glides between notes apart): F measure, within 20 ms. Half of the scenes are sung
// (tests/measure/synthetic_singer.h), half played by pianos, winds and strings of the fonts and the project's own
// piano; in simulated rooms, most of them through a simulated telephone. The same fonts give the same table on the same
// kind of processor.
#include <fmt/format.h>

#include <cstdlib>

#include "tests/fitting/onset_training.h"
#include "tests/measure/onset_score.h"
#include "tests/measure/room_scene.h"
#include "tests/measure/soundfont_bank.h"
#include "tests/measure/sung_tune.h"
#include "tests/measure/synthetic_singer.h"

namespace romanesca::test {
namespace {

OnsetScene one_voice(std::uint64_t number, const std::vector<NoteBank>& banks, bool sung) {
  SceneRandom random(32452843 * number + 11);
  const SungTune tune = random_tune(random, sung ? 0 : 12 * random.index(2));
  std::vector<float> dry(bank_samples(tune.length_s + 0.5));
  OnsetScene scene;
  if (sung) {
    SingerSettings singer;
    singer.legato_chance = random.uniform(0, 0.5);
    const SungBeginnings begins = add_sung_notes(dry, tune.notes, singer, random);
    for (std::size_t i = 0; i < begins.all_s.size(); ++i)
      (begins.by_glides[i] ? scene.unclear_s : scene.onsets_s).push_back(begins.all_s[i]);
  } else {
    add_notes(dry, tune.notes, banks[static_cast<std::size_t>(random.index(static_cast<int>(banks.size())))]);
    for (const PlayedNote& note : tune.notes) scene.onsets_s.push_back(note.at_s);
  }
  RoomSettings room;
  room.telephone = random.chance(0.7);
  scene.sound = through_room(dry, room, random);
  return scene;
}

int run(int argc, char** argv) {
  if (argc < 3) {
    fmt::print(stderr, "usage: voice_onset_weights SCENES FONT.sf2...\n");
    return 2;
  }
  std::vector<NoteBank> banks;
  for (int i = 2; i < argc; ++i) {
    // Pianos (twice), violin, choir, clarinet, flute, recorder of General MIDI, level 1.
    for (const auto& [program, velocity] : std::initializer_list<std::pair<int, int>>{
             {0, 95}, {0, 55}, {1, 80}, {40, 90}, {53, 90}, {71, 90}, {73, 90}, {74, 90}}) {
      if (auto bank = soundfont_bank(argv[i], program, velocity)) banks.push_back(without_silence(std::move(*bank)));
    }
  }
  banks.push_back(own_piano(80));
  const auto scenes = static_cast<std::uint64_t>(std::atoi(argv[1]));
  std::vector<OnsetScene> checks;
  for (std::uint64_t i = 0; i < 40; ++i) checks.push_back(one_voice(10'000'000 + i, banks, true));
  const auto check = [&](const Perceptron& fitted) {
    OnsetScore score;
    for (const OnsetScene& scene : checks) score.add(onsets_of(fitted, scene.sound), scene.onsets_s);
    fmt::print(stderr, "{}\n", score.text());
  };
  const std::string text = fit_onset_network(
      scenes, [&](std::uint64_t number) { return one_voice(number, banks, number / 2 % 2 == 0); }, check);
  fmt::print(
      "# Where the notes of one voice begin: a perceptron over the views of onset_detector.h; written by\n"
      "# tests/fitting/voice_onset_weights from {} scenes that it made itself. Format: perceptron.h.\n{}",
      scenes, text);
  return 0;
}

}  // namespace
}  // namespace romanesca::test

int main(int argc, char** argv) { return romanesca::test::run(argc, argv); }
