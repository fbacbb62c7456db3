// Writes synth/hearing/chord_weights.txt.
//
//   chord_weights PIECES FONT.sf2...
//
// prints the table to standard output, and to standard error how well it tells the beats of the last tenth of the
// pieces, which it did not see. Pieces: tests/measure/student_piece.h, on the pianos of the SoundFonts and the
// project's own, in simulated rooms through a simulated telephone; what is no chord: noise, hum, knocks, drums, and
// something like speech. The same fonts give the same table.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numeric>

#include "synth/hearing/chord_evidence.h"
#include "tests/measure/other_sounds.h"
#include "tests/measure/room_scene.h"
#include "tests/measure/soundfont_bank.h"
#include "tests/measure/student_piece.h"

namespace romanesca::test {
namespace {

struct Example {
  RegisterChroma chroma;
  std::size_t chord = no_chord_class;
  int bass = 0;
};

constexpr int epochs = 12;
constexpr std::size_t batch = 64;
constexpr double first_step = 0.03;    // of Adam (Kingma & Ba, ICLR 2015), falling as a cosine
constexpr double weight_decay = 1e-4;  // how much large weights cost

std::vector<Example> examples_of(int number, const std::vector<NoteBank>& banks, SceneRandom& random) {
  StudentSettings student;
  student.highest_level = 6;
  const StudentPiece piece = student_piece(number, student, random);
  const NoteBank& bank = banks[static_cast<std::size_t>(random.index(static_cast<int>(banks.size())))];
  const double cents = random.uniform(-60, 25);
  const double ratio = std::exp2(cents / 1200);
  const auto sound = through_room(detuned(play_piece(piece, bank), cents), {}, random);
  const PitchFrames frames = pitch_frames(sound);
  std::vector<Example> examples;
  std::size_t k = 0;
  for (std::size_t i = 0; i + 1 < piece.beats_s.size(); ++i) {
    while (k + 1 < piece.chords.size() && piece.chords[k].end_s < (piece.beats_s[i] + piece.beats_s[i + 1]) / 2) ++k;
    examples.push_back({frames.chroma(piece.beats_s[i] / ratio + 0.04, piece.beats_s[i + 1] / ratio - 0.02),
                        piece.chords[k].chord, piece.chords[k].bass});
  }
  return examples;
}

/// Half-second looks at what has no chord.
void add_other_sounds(std::vector<Example>& examples, SceneRandom& random) {
  const std::size_t length = bank_samples(8);
  for (int i = 0; i < 40; ++i) {
    std::vector<float> sound(length);
    if (i % 5 == 0) sound = pink_noise(length, random);
    if (i % 5 == 1) sound = speech_like(length, random);
    if (i % 5 == 2) sound = knocks(length, random);
    if (i % 5 == 3) sound = drum_groove(length, random);
    if (i % 5 == 4) {
      const double hz = random.chance(0.5) ? 50 : 60;
      for (std::size_t k = 0; k < length; ++k) {
        const double turn = 2 * M_PI * hz * static_cast<double>(k) / hearing_rate_hz;
        sound[k] = static_cast<float>(std::sin(turn) + 0.5 * std::sin(2 * turn) + 0.3 * std::sin(3 * turn));
      }
    }
    const PitchFrames frames = pitch_frames(through_room(sound, {}, random));
    for (double at_s = 0.5; at_s < 7; at_s += 0.5) examples.push_back({frames.chroma(at_s, at_s + 0.5)});
  }
}

/// The weights in one row, with the state of Adam.
struct Fit {
  std::vector<double> weights, gradient, mean, square;
  int steps = 0;
  explicit Fit(std::size_t count) : weights(count), gradient(count), mean(count), square(count) {}
  void step(double size, double share) {
    ++steps;
    for (std::size_t i = 0; i < weights.size(); ++i) {
      const double slope = gradient[i] * share + weight_decay * weights[i];
      mean[i] = 0.9 * mean[i] + 0.1 * slope;
      square[i] = 0.999 * square[i] + 0.001 * slope * slope;
      weights[i] -=
          size * (mean[i] / (1 - std::pow(0.9, steps))) / (std::sqrt(square[i] / (1 - std::pow(0.999, steps))) + 1e-8);
      gradient[i] = 0;
    }
  }
};

constexpr std::size_t none_at = chord_qualities * ChordWeights::inputs;
constexpr std::size_t bass_at = none_at + RegisterChroma::registers + 1;
constexpr std::size_t weight_count = bass_at + ChordWeights::inputs;

ChordWeights weights_of(const Fit& fit) {
  ChordWeights weights;
  auto at = fit.weights.begin();
  for (auto& row : weights.qualities) {
    for (float& value : row) value = static_cast<float>(*at++);
  }
  for (float& value : weights.none) value = static_cast<float>(*at++);
  for (float& value : weights.bass) value = static_cast<float>(*at++);
  return weights;
}

void add_gradient(const Example& example, const ChordClassifier& classifier, Fit& fit) {
  const ChordEvidence evidence = classifier.chords(example.chroma);
  std::array<ChordWeights::Row, 12> inputs;
  for (int root = 0; root < 12; ++root) inputs[static_cast<std::size_t>(root)] = chord_inputs(example.chroma, root);
  for (std::size_t chord = 0; chord < chord_classes; ++chord) {
    const double error = std::exp(static_cast<double>(evidence[chord])) - (chord == example.chord ? 1 : 0);
    if (std::abs(error) < 1e-4) continue;
    if (chord == no_chord_class) {
      for (std::size_t r = 0; r < RegisterChroma::registers; ++r)
        fit.gradient[none_at + r] += error * static_cast<double>(std::accumulate(example.chroma.rows[r].begin(),
                                                                                 example.chroma.rows[r].end(), 0.0f));
      fit.gradient[none_at + RegisterChroma::registers] += error;
      continue;
    }
    const auto& row = inputs[static_cast<std::size_t>(root_of(chord))];
    const std::size_t first = static_cast<std::size_t>(quality_of(chord)) * ChordWeights::inputs;
    for (std::size_t i = 0; i < row.size(); ++i) fit.gradient[first + i] += error * static_cast<double>(row[i]);
  }
  if (example.chord == no_chord_class) return;
  std::array<double, 12> likely{};
  double sum = 0;
  for (std::size_t bass = 0; bass < 12; ++bass) {
    double score = 0;
    for (std::size_t i = 0; i < ChordWeights::inputs; ++i)
      score += fit.weights[bass_at + i] * static_cast<double>(inputs[bass][i]);
    sum += likely[bass] = std::exp(std::min(score, 50.0));
  }
  for (std::size_t bass = 0; bass < 12; ++bass) {
    const double error = likely[bass] / sum - (static_cast<int>(bass) == example.bass ? 1 : 0);
    for (std::size_t i = 0; i < ChordWeights::inputs; ++i)
      fit.gradient[bass_at + i] += error * static_cast<double>(inputs[bass][i]);
  }
}

void report(std::span<const Example> examples, const ChordClassifier& classifier) {
  int exact = 0, family = 0, bass = 0, chords = 0, none = 0, silent = 0;
  for (const Example& example : examples) {
    const ChordEvidence evidence = classifier.chords(example.chroma);
    const auto best = static_cast<std::size_t>(std::max_element(evidence.begin(), evidence.end()) - evidence.begin());
    if (example.chord == no_chord_class) {
      ++none;
      silent += best == no_chord_class;
      continue;
    }
    ++chords;
    exact += best == example.chord;
    family += triad_family(best) == triad_family(example.chord);
    bass += likely_bass(classifier.bass(example.chroma), example.chord) == example.bass;
  }
  fmt::print(stderr,
             "{} beats: root and third {:.1f} %, exactly {:.1f} %, bass {:.1f} %; {} of {} looks without chord\n",
             chords, 100.0 * family / std::max(chords, 1), 100.0 * exact / std::max(chords, 1),
             100.0 * bass / std::max(chords, 1), silent, none);
}

}  // namespace
}  // namespace romanesca::test

int main(int count, char** arguments) {
  using namespace romanesca;
  using namespace romanesca::test;
  if (count < 3) {
    fmt::print(stderr, "usage: chord_weights PIECES FONT.sf2...\n");
    return 2;
  }
  const int pieces = std::max(10, std::atoi(arguments[1]));
  std::vector<NoteBank> banks{own_piano(80)};
  for (int i = 2; i < count; ++i) {
    for (const int program : {0, 1, 3}) {  // grand, bright and honky-tonk piano of General MIDI
      auto bank = soundfont_bank(arguments[i], program, 80);
      if (bank) banks.push_back(std::move(*bank));
    }
  }
  SceneRandom random(101);
  std::vector<Example> seen, unseen;
  for (int i = 0; i < pieces; ++i) {
    auto& target = i < pieces - pieces / 10 ? seen : unseen;
    for (const Example& example : examples_of(i, banks, random)) target.push_back(example);
  }
  add_other_sounds(seen, random);
  add_other_sounds(unseen, random);
  Fit fit(weight_count);
  std::vector<std::size_t> order(seen.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  for (int epoch = 0; epoch < epochs; ++epoch) {
    for (std::size_t i = order.size(); i-- > 1;)
      std::swap(order[i], order[static_cast<std::size_t>(random.index(static_cast<int>(i + 1)))]);
    const double size = first_step * (1 + std::cos(M_PI * epoch / epochs)) / 2;
    for (std::size_t first = 0; first + batch <= order.size(); first += batch) {
      const ChordClassifier classifier(weights_of(fit));
      for (std::size_t i = first; i < first + batch; ++i) add_gradient(seen[order[i]], classifier, fit);
      fit.step(size, 1.0 / batch);
    }
  }
  const ChordWeights weights = ChordWeights::from_text(weights_of(fit).to_text());
  report(seen, ChordClassifier(weights));
  report(unseen, ChordClassifier(weights));
  fmt::print(
      "# How much each pitch class, counted upwards from the root, speaks for a chord: hundredths, written by\n"
      "# tests/fitting/chord_weights from {} pieces that it made itself. A line for each word of chord_quality_words\n"
      "# (low, middle and high register, a constant), one for no chord (the sum of each register, a constant), and "
      "one\n"
      "# for the lowest tone.\n{}",
      pieces, weights.to_text());
  return 0;
}
