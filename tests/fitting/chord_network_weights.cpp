// Writes synth/hearing/chord_network_weights.txt.
//
//   chord_network_weights PIECES CORPUS.jsonl... FONT.sf2... >synth/hearing/chord_network_weights.txt
//
// prints the table to standard output, and to standard error how well it tells the moments of the last twentieth of the
// pieces, which it did not see. Half of the pieces are played by students on the pianos of the SoundFonts and the
// project's own (tests/measure/student_piece.h), half by the band, with its own sounds and the fonts' (band_piece.h):
// training_pieces.h divides songs and styles, and says how they sound. What is no chord: noise, hum, knocks, drums, and
// something like speech. The corpora are not part of the project: see corpus.h. The same files give the same table on
// the same kind of processor.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "synth/hearing/chord_network.h"
#include "tests/fitting/perceptron_training.h"
#include "tests/fitting/training_pieces.h"
#include "tests/measure/other_sounds.h"

namespace romanesca::test {
namespace {

struct Example {
  ChordNetwork::Moment moment;
  std::size_t chord = no_chord_class;
  int bass = 0;
};

constexpr double apart_s = 4 * PitchFrames::seconds;  // of the moments
constexpr double unclear_s = 0.06;                    // to each side of a change of chord

void add_moments(std::vector<Example>& examples, const PieceTruth& truth, const std::vector<float>& sound) {
  const PitchFrames frames = pitch_frames(sound);
  for (const ChordSpan& span : truth.chords) {
    for (double at_s = std::ceil((span.start_s + unclear_s) / apart_s) * apart_s; at_s < span.end_s - unclear_s;
         at_s += apart_s)
      examples.push_back({ChordNetwork::moment_at(frames, at_s), span.chord, span.bass});
  }
}

/// Moments of one piece, or of what is none.
std::vector<Example> examples_of(std::size_t number, const TrainingSources& sources) {
  SceneRandom random(7919 * number + 29);
  std::vector<Example> examples;
  if (number % 25 == 24) {
    const std::size_t length = bank_samples(8);
    const RoomSettings room = training_room(random);
    const std::vector<float> kinds[] = {pink_noise(length, random), speech_like(length, random), knocks(length, random),
                                        drum_groove(length, random)};
    for (const std::vector<float>& sound : kinds) {
      const PitchFrames frames = pitch_frames(through_room(sound, room, random));
      for (double at_s = 0.5; at_s < 7; at_s += 0.3) examples.push_back({ChordNetwork::moment_at(frames, at_s)});
    }
    return examples;
  }
  const TrainingPiece piece = training_piece(number, sources, random);
  add_moments(examples, piece.truth, piece.sound);
  return examples;
}

/// How well moments are told, in per cent.
void report(const std::vector<Example>& examples, const ChordNetwork& network) {
  int exact = 0, family = 0, bass = 0, chords = 0, none = 0, silent = 0;
  for (const Example& example : examples) {
    const NetworkLook look = network.look(example.moment);
    const auto best =
        static_cast<std::size_t>(std::max_element(look.chords.begin(), look.chords.end()) - look.chords.begin());
    if (example.chord == no_chord_class) {
      ++none;
      silent += best == no_chord_class;
      continue;
    }
    ++chords;
    exact += best == example.chord;
    family += triad_family(best) == triad_family(example.chord);
    bass += std::max_element(look.bass.begin(), look.bass.end()) - look.bass.begin() == example.bass;
  }
  fmt::print(stderr, "{} moments: root and third {:.1f} %, exactly {:.1f} %, bass {:.1f} %; {} of {} without chord\n",
             chords, 100.0 * family / std::max(chords, 1), 100.0 * exact / std::max(chords, 1),
             100.0 * bass / std::max(chords, 1), silent, none);
}

/// The cost of a group of twelve rows, one for each root: cross-entropy of the chord, and half as much of the bass.
AnswerCost cost_of_chords(const std::vector<Example>& examples, std::span<const std::size_t> rows,
                          std::span<const float> outputs, std::span<float> slopes) {
  constexpr float bass_share = 0.5f;
  AnswerCost cost;
  for (std::size_t first = 0; first + 12 <= rows.size(); first += 12) {
    const Example& example = examples[rows[first] / 12];
    ChordNetwork::Outputs answered{};
    for (std::size_t root = 0; root < 12; ++root)
      std::copy_n(outputs.begin() + static_cast<std::ptrdiff_t>((first + root) * ChordNetwork::outputs),
                  ChordNetwork::outputs, answered[root].begin());
    const NetworkLook look = ChordNetwork::look_of(answered);
    const bool sounds = example.chord != no_chord_class;
    for (std::size_t root = 0; root < 12; ++root) {
      float* const slope = slopes.data() + (first + root) * ChordNetwork::outputs;
      for (std::size_t quality = 0; quality < chord_qualities; ++quality) {
        const std::size_t chord = root * chord_qualities + quality;
        slope[quality] = std::exp(look.chords[chord]) - (chord == example.chord ? 1.0f : 0.0f);
      }
      slope[ChordNetwork::none_output] = (std::exp(look.chords[no_chord_class]) - (sounds ? 0.0f : 1.0f)) / 12;
      if (sounds)
        slope[ChordNetwork::bass_output] =
            bass_share * (std::exp(look.bass[root]) - (static_cast<int>(root) == example.bass ? 1.0f : 0.0f));
    }
    cost.loss -= static_cast<double>(look.chords[example.chord]);
    ++cost.counted;
  }
  return cost;
}

void fit(std::size_t pieces, const TrainingSources& sources) {
  std::vector<std::vector<Example>> made(pieces);
  on_two_threads(pieces, [&](std::size_t i) { made[i] = examples_of(i, sources); });
  std::vector<Example> seen, unseen;
  for (std::size_t i = 0; i < pieces; ++i) {
    auto& target = i < pieces - pieces / 20 ? seen : unseen;
    target.insert(target.end(), made[i].begin(), made[i].end());
    made[i] = {};
  }
  fmt::print(stderr, "{} moments of {} pieces, {} more to check with\n", seen.size(), pieces, unseen.size());
  Perceptron network(std::array<std::size_t, 4>{ChordNetwork::inputs, 96, 48, ChordNetwork::outputs});
  TrainingSettings settings;
  settings.epochs = 8;
  settings.batch = 12 * 128;
  settings.group = 12;
  settings.block = 48;
  settings.dropped = 0.15;
  settings.noise = 0.12;
  const auto row = [&](std::size_t index, std::span<float> inputs) {
    ChordNetwork::gather(seen[index / 12].moment, static_cast<int>(index % 12), inputs);
    return 0.0f;
  };
  train(
      network, seen.size() * 12, row, settings,
      [&](const std::string& sentence) {
        fmt::print(stderr, "{}; ", sentence);
        report(unseen, ChordNetwork(network));
      },
      [&](std::span<const std::size_t> rows, std::span<const float>, std::span<const float> outputs,
          std::span<float> slopes) { return cost_of_chords(seen, rows, outputs, slopes); });
  const Perceptron written = Perceptron::from_text(network.to_text());
  report(unseen, ChordNetwork(written));
  fmt::print(
      "# The network that hears chords (synth/hearing/chord_network.h): sizes, then for each unit its bias in\n"
      "# millionths, a scale in billionths and its weights as bytes (base 64). Written by\n"
      "# tests/fitting/chord_network_weights from {} moments of {} pieces that it made itself: songs of two published\n"
      "# corpora (chord_successions.txt) and of the library, played by the project's own sounds and free "
      "SoundFonts.\n{}",
      seen.size(), pieces, written.to_text());
}

}  // namespace
}  // namespace romanesca::test

int main(int count, char** arguments) {
  return romanesca::test::fit_to_pieces(std::span(arguments, static_cast<std::size_t>(count)), romanesca::test::fit);
}
