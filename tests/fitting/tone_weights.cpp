// Writes synth/hearing/tone_weights.txt.
//
//   tone_weights SCENES FONT.sf2... >synth/hearing/tone_weights.txt
//
// prints the table to standard output, and to standard error how well it tells the tones of scenes on a piano that it
// did not see (the first program of the last font). Scenes: tests/measure/piano_scene.h, on the pianos of the
// SoundFonts and the project's own, in simulated rooms, most of them through a simulated telephone; some with a band's
// drums and bass; what is no piano: noise, hum, knocks, drums, and something like speech. The same fonts give the same
// table on the same kind of processor.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <iterator>
#include <thread>

#include "synth/hearing/tone_network.h"
#include "tests/fitting/perceptron_training.h"
#include "tests/measure/loudspeaker_band.h"
#include "tests/measure/other_sounds.h"
#include "tests/measure/piano_scene.h"
#include "tests/measure/soundfont_bank.h"

namespace romanesca::test {
namespace {

struct Example {
  ToneViews views;
  std::array<float, 12> wanted{};  ///< 1: sounds, 0: does not, -1: may ring from before
  Deed deed = Deed::right;
  std::array<bool, 12> asked{}, struck{};
  double lag_s = 0;
};

constexpr int looks = 3;  // at each scene
constexpr double earliest_s = 0.08, latest_s = 0.75;

Deed drawn_deed(SceneRandom& random) {
  return random.chance(0.35) ? Deed::right
                             : deeds[static_cast<std::size_t>(random.index(static_cast<int>(deeds.size())))];
}

/// One bass note of the band, as a small loudspeaker gives it: without what lies below 250 Hz.
void add_bass(Scene& scene, const NoteBank& bass, SceneRandom& random, std::array<float, 12>& wanted) {
  const int midi = 28 + random.index(20);
  std::vector<float> dry(scene.sound.size());
  add_notes(dry, {{scene.onset_s + random.uniform(-0.03, 0.03), random.uniform(0.2, 0.8), midi, 1}}, bass);
  add_at_level(scene.sound, small_loudspeaker(dry), random.uniform(-25, -3));
  float& tone = wanted[static_cast<std::size_t>(midi % 12)];
  if (tone == 0) tone = -1;
}

void add_scene(std::size_t number, const std::vector<NoteBank>& banks, const NoteBank& bass, Example* out) {
  SceneRandom random(7919 * number + 17);
  SceneSettings settings;
  settings.room.telephone = random.chance(0.85);
  settings.room.far_share = 0.35;
  const NoteBank& bank = banks[static_cast<std::size_t>(random.index(static_cast<int>(banks.size())))];
  Scene scene = make_scene(drawn_deed(random), bank, settings, random);
  Example example;
  example.deed = scene.deed;
  example.asked = scene.asked;
  example.struck = scene.struck;
  for (std::size_t i = 0; i < 12; ++i) example.wanted[i] = scene.struck[i] ? 1 : scene.ringing[i] ? -1 : 0;
  if (random.chance(0.12)) add_at_level(scene.sound, drum_groove(scene.sound.size(), random), random.uniform(-25, -3));
  if (random.chance(0.06)) add_bass(scene, bass, random, example.wanted);
  if (random.chance(0.04)) add_at_level(scene.sound, speech_like(scene.sound.size(), random), random.uniform(-25, -10));
  ToneViewer viewer;
  viewer.fix_tuning(scene.cents + random.uniform(-5, 5));
  const std::vector<float>& sound = scene.sound;
  const auto block_before = [&](double end_s) {
    const std::size_t end = std::min(bank_samples(end_s), sound.size());
    std::vector<float> block(pitch_block);
    const std::size_t count = std::min(end, pitch_block);
    std::copy_n(sound.begin() + static_cast<std::ptrdiff_t>(end - count), count,
                block.end() - static_cast<std::ptrdiff_t>(count));
    return block;
  };
  const double onset_s = scene.onset_s + 0.008 * random.normal();
  viewer.keep_before(block_before(onset_s));
  for (int look = 0; look < looks; ++look) {
    example.lag_s = random.uniform(earliest_s, latest_s);
    viewer.look(block_before(onset_s + example.lag_s), example.views);
    *out++ = example;
  }
}

void add_other(std::size_t number, Example* out) {
  SceneRandom random(104729 * number + 3);
  const std::size_t length = bank_samples(3);
  std::vector<float> sound(length);
  const int kind = random.index(5);
  if (kind == 0) sound = pink_noise(length, random);
  if (kind == 1) sound = speech_like(length, random);
  if (kind == 2) sound = knocks(length, random);
  if (kind == 3) sound = drum_groove(length, random);
  if (kind == 4) {
    const double hz = random.chance(0.5) ? 50 : 60;
    for (std::size_t k = 0; k < length; ++k) {
      const double turn = 2 * M_PI * hz * static_cast<double>(k) / hearing_rate_hz;
      sound[k] = static_cast<float>(std::sin(turn) + 0.5 * std::sin(2 * turn) + 0.3 * std::sin(3 * turn));
    }
  }
  sound = through_room(sound, {}, random);
  ToneViewer viewer;
  viewer.fix_tuning(random.uniform(-54, 46));
  Example example;
  for (int look = 0; look < looks; ++look) {
    const auto onset = static_cast<std::ptrdiff_t>(bank_samples(random.uniform(0.6, 2)));
    viewer.keep_before({sound.data() + onset - pitch_block, pitch_block});
    const auto end = onset + static_cast<std::ptrdiff_t>(bank_samples(random.uniform(earliest_s, latest_s)));
    viewer.look({sound.data() + end - pitch_block, pitch_block}, example.views);
    *out++ = example;
  }
}

/// Two threads; each scene has its own chance, so the same come whatever their order.
std::vector<Example> examples(std::size_t first, std::size_t count, const std::vector<NoteBank>& banks,
                              const NoteBank& bass, bool others) {
  std::vector<Example> all(count * looks);
  const auto some = [&](std::size_t begin) {
    for (std::size_t i = begin; i < count; i += 2) {
      Example* const out = &all[i * looks];
      others&& i % 12 == 11 ? add_other(first + i, out) : add_scene(first + i, banks, bass, out);
    }
  };
  std::thread other(some, 1);
  some(0);
  other.join();
  return all;
}

/// How many of each deed are taken for the chord asked for: all of its tones above @p least, no other above @p most.
void print_table(const Perceptron& network, const std::vector<Example>& checks) {
  const ToneNetwork tones(network);
  struct Row {
    int count = 0, accepted = 0, tolerant = 0;
  };
  std::array<Row, deeds.size()> rows{};
  double hits = 0, sounding = 0, false_ones = 0, silent = 0;
  for (const Example& example : checks) {
    if (example.lag_s < 0.25 || example.lag_s > 0.4) continue;
    const auto found = tones.probabilities(example.views);
    bool accepted = true, tolerant = true;
    for (std::size_t i = 0; i < 12; ++i) {
      if (example.wanted[i] > 0) ++sounding, hits += found[i] > 0.5f ? 1 : 0;
      if (example.wanted[i] == 0) ++silent, false_ones += found[i] > 0.5f ? 1 : 0;
      if (example.asked[i] ? found[i] < 0.35f : found[i] > 0.6f) accepted = false;
      if (example.asked[i] ? found[i] < 0.2f : found[i] > 0.8f) tolerant = false;
    }
    Row& row = rows[static_cast<std::size_t>(example.deed)];
    ++row.count;
    row.accepted += accepted ? 1 : 0;
    row.tolerant += tolerant ? 1 : 0;
  }
  fmt::print(stderr, "tones found {:.1f} %, false {:.2f} %; accepted:", 100 * hits / sounding,
             100 * false_ones / silent);
  for (const Row& row : rows)
    fmt::print(stderr, "  {:.1f}/{:.1f}", 100.0 * row.accepted / std::max(row.count, 1),
               100.0 * row.tolerant / std::max(row.count, 1));
  fmt::print(stderr, "\n");
}

int run(int argc, char** argv) {
  if (argc < 3) {
    fmt::print(stderr, "usage: tone_weights SCENES FONT.sf2...\n");
    return 2;
  }
  const auto scenes = static_cast<std::size_t>(std::atoi(argv[1]));
  std::vector<NoteBank> banks, unseen;
  for (int i = 2; i < argc; ++i) {
    for (const auto& [program, velocity] : std::initializer_list<std::pair<int, int>>{
             {0, 95}, {0, 60}, {0, 40}, {1, 90}, {1, 55}, {2, 80}, {3, 80}, {4, 80}}) {
      auto bank = soundfont_bank(argv[i], program, velocity);
      if (!bank) continue;
      (i + 1 == argc && program == 0 ? unseen : banks).push_back(without_silence(std::move(*bank)));
    }
  }
  for (const int velocity : {50, 90}) banks.push_back(without_silence(own_piano(velocity)));
  for (const double attack_s : {0.004, 0.01}) {
    for (std::size_t i = 0; i < 4; ++i) banks.push_back(with_soft_attacks(banks[i], attack_s));
  }
  const NoteBank bass = own_piano(90, InstrumentId::electric_bass);
  fmt::print(stderr, "{} pianos to learn from, {} to check with\n", banks.size(), unseen.size());
  const std::vector<Example> learnt = examples(0, scenes, banks, bass, true);
  const std::vector<Example> checks = examples(10'000'000, 2000, unseen, bass, false);
  fmt::print(stderr, "{} examples\n", learnt.size());

  const std::array<std::size_t, 4> sizes{ToneNetwork::inputs, 64, 32, 1};
  Perceptron network(sizes);
  const auto row = [&](std::size_t number, std::span<float> inputs) {
    const Example& example = learnt[number / 12];
    ToneNetwork::Inputs seen;
    ToneNetwork::gather(example.views, static_cast<int>(number % 12), seen);
    std::copy(seen.begin(), seen.end(), inputs.begin());
    return example.wanted[number % 12];
  };
  TrainingSettings settings;
  settings.group = 12;
  settings.epochs = 14;
  train(network, learnt.size() * 12, row, settings, [&](const std::string& sentence) {
    fmt::print(stderr, "{}\n", sentence);
    print_table(network, checks);
  });
  const std::string text = network.to_text();
  print_table(Perceptron::from_text(text), checks);
  fmt::print(
      "# Which tone sounds: a perceptron over the views of tone_views.h, seen upwards from the tone; written by\n"
      "# tests/fitting/tone_weights from {} scenes that it made itself. Format: perceptron.h.\n{}",
      scenes, text);
  return 0;
}

}  // namespace
}  // namespace romanesca::test

int main(int argc, char** argv) { return romanesca::test::run(argc, argv); }
