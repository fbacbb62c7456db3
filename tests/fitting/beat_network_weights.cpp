// Writes synth/hearing/beat_network_weights.txt.
//
//   beat_network_weights PIECES CORPUS.jsonl... FONT.sf2... >synth/hearing/beat_network_weights.txt
//
// prints the table to standard output, and to standard error how well it tells the frames of the last twentieth of the
// pieces, which it did not see. The pieces are those of chord_network_weights.cpp (training_pieces.h). The same files
// give the same table on the same kind of processor.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "synth/hearing/beat_network.h"
#include "tests/fitting/perceptron_training.h"
#include "tests/fitting/training_pieces.h"

namespace romanesca::test {
namespace {

/// A frame may be one, be none, or be too near one to count.
enum class FrameTruth : std::int8_t { none, near, is };

struct Example {
  OnsetStrength onsets;
  std::vector<FrameTruth> beats, lines;
};

/// Marks the frames nearest to moments, and those beside them.
std::vector<FrameTruth> marked(std::size_t frames, const std::vector<double>& moments_s) {
  std::vector<FrameTruth> truth(frames, FrameTruth::none);
  const auto mark = [&](std::ptrdiff_t frame, FrameTruth as) {
    if (frame < 0 || frame >= static_cast<std::ptrdiff_t>(frames)) return;
    FrameTruth& here = truth[static_cast<std::size_t>(frame)];
    here = std::max(here, as);
  };
  for (const double moment_s : moments_s) {
    const auto frame = static_cast<std::ptrdiff_t>(std::lround(moment_s * OnsetStrength::frames_per_second));
    mark(frame, FrameTruth::is);
    for (const std::ptrdiff_t off : {1, 2}) {
      mark(frame - off, off == 1 ? FrameTruth::is : FrameTruth::near);
      mark(frame + off, off == 1 ? FrameTruth::is : FrameTruth::near);
    }
  }
  return truth;
}

Example example_of(std::size_t number, const TrainingSources& sources) {
  SceneRandom random(104729 * number + 31);
  TrainingPiece piece = training_piece(number, sources, random);
  if (random.chance(0.4)) {  // a recording that begins in the middle of the music, or with its first note
    const double cut_s = random.chance(0.4) ? piece.truth.beats_s.front() + 0.01 : random.uniform(0.5, 6);
    piece.sound.erase(piece.sound.begin(), piece.sound.begin() + static_cast<std::ptrdiff_t>(bank_samples(cut_s)));
    for (double& beat : piece.truth.beats_s) beat -= cut_s;
  }
  Example example{onset_strength(piece.sound), {}, {}};
  example.onsets.all = example.onsets.low = {};
  std::vector<double> beats(piece.truth.beats_s.begin(), piece.truth.beats_s.end() - 1);
  const std::size_t frames = example.onsets.by_group.size();
  example.beats = marked(frames, beats);
  example.lines = marked(frames, piece.truth.lines_s());
  return example;
}

/// A frame of a piece.
struct Place {
  std::uint32_t piece, frame;
};

struct Right {
  double probability_is = 0, probability_none = 0;
  int is = 0, none = 0;
  void add(FrameTruth truth, float probability) {
    if (truth == FrameTruth::is) {
      ++is;
      probability_is += static_cast<double>(probability);
    } else if (truth == FrameTruth::none) {
      ++none;
      probability_none += static_cast<double>(probability);
    }
  }
  [[nodiscard]] std::string text() const {
    return fmt::format("{:.3f} where one is, {:.3f} elsewhere", probability_is / std::max(is, 1),
                       probability_none / std::max(none, 1));
  }
};

void report(std::span<const Example> examples, const BeatNetwork& network) {
  Right beats, lines;
  for (const Example& example : examples) {
    const BeatNetwork::Beats heard = network.beats(example.onsets);
    for (std::size_t frame = 0; frame < heard.beat.size(); ++frame) {
      beats.add(example.beats[frame], heard.beat[frame]);
      lines.add(example.lines[frame], heard.line[frame]);
    }
  }
  fmt::print(stderr, "probability of a beat {}; of a bar line {}\n", beats.text(), lines.text());
}

void fit(std::size_t pieces, const TrainingSources& sources) {
  std::vector<Example> made(pieces);
  on_two_threads(pieces, [&](std::size_t i) { made[i] = example_of(i, sources); });
  const std::size_t learnt = pieces - pieces / 20;
  std::vector<Place> places;
  for (std::uint32_t piece = 0; piece < learnt; ++piece) {
    for (std::uint32_t frame = 0; frame < made[piece].beats.size(); ++frame) places.push_back({piece, frame});
  }
  fmt::print(stderr, "{} frames of {} pieces\n", places.size(), learnt);
  Perceptron network(std::array<std::size_t, 4>{BeatNetwork::inputs, 48, 24, BeatNetwork::outputs});
  TrainingSettings settings;
  settings.epochs = 5;
  settings.batch = 1024;
  settings.dropped = 0.1;
  settings.noise = 0.05;
  const auto row = [&](std::size_t index, std::span<float> inputs) {
    BeatNetwork::gather(made[places[index].piece].onsets, places[index].frame, inputs);
    return 0.0f;
  };
  const auto cost = [&](std::span<const std::size_t> rows, std::span<const float>, std::span<const float> outputs,
                        std::span<float> slopes) {
    AnswerCost sum;
    for (std::size_t k = 0; k < rows.size(); ++k) {
      const Place& place = places[rows[k]];
      const Example& example = made[place.piece];
      for (std::size_t output = 0; output < BeatNetwork::outputs; ++output) {
        const FrameTruth truth = (output == 0 ? example.beats : example.lines)[place.frame];
        if (truth == FrameTruth::near) continue;
        const float wanted = truth == FrameTruth::is ? 1 : 0;
        const std::size_t at = k * BeatNetwork::outputs + output;
        const AnswerCost one =
            cost_of_probabilities(rows.subspan(k, 1), {&wanted, 1}, outputs.subspan(at, 1), slopes.subspan(at, 1));
        sum.loss += one.loss;
      }
      ++sum.counted;
    }
    return sum;
  };
  const auto unseen = std::span<const Example>(made).subspan(learnt);
  train(
      network, places.size(), row, settings,
      [&](const std::string& sentence) {
        fmt::print(stderr, "{}; ", sentence);
        report(unseen, BeatNetwork(network));
      },
      cost);
  const Perceptron written = Perceptron::from_text(network.to_text());
  report(unseen, BeatNetwork(written));
  fmt::print(
      "# The network that hears beats and bar lines (synth/hearing/beat_network.h): sizes, then for each unit its "
      "bias\n"
      "# in millionths, a scale in billionths and its weights as bytes (base 64). Written by\n"
      "# tests/fitting/beat_network_weights from {} frames of {} pieces that it made itself, as\n"
      "# chord_network_weights.txt says.\n{}",
      places.size(), pieces, written.to_text());
}

}  // namespace
}  // namespace romanesca::test

int main(int count, char** arguments) {
  return romanesca::test::fit_to_pieces(std::span(arguments, static_cast<std::size_t>(count)), romanesca::test::fit);
}
