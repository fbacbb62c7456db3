// Finds the weights of theory/analysis/key_model.cpp and measures them.
//
//   key_weights CORPUS.jsonl...
//
// prints, for each corpus, how often songs that were held out agree with their listeners (ten folds by song), then the
// table of weights fitted to all songs. It needs corpora that are not part of the project: see corpus.h.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "tests/fitting/corpus.h"
#include "tests/fitting/logistic_regression.h"
#include "theory/analysis/key_finding.h"

namespace romanesca {
namespace {

constexpr int folds = 10;
constexpr double shrink = 0.3;

/// A song with the questions that it asks of a model.
struct Lesson {
  HeardSong song;
  std::size_t corpus = 0;
  std::size_t fold = 0;
  Question whole;
  std::vector<Question> windows;
};

Question question(const HeardPiece& piece, int first, int end, int answer, double weight) {
  Question result;
  const auto evidence = piece.evidence(first, end);
  for (std::size_t t = 0; t < 12; ++t) result.signs[t].assign(evidence[t].begin(), evidence[t].end());
  result.answer = answer;
  result.weight = weight;
  return result;
}

Lesson lesson(HeardSong song, std::size_t corpus) {
  const HeardPiece piece(song.timeline);
  const int first_bar = song.timeline.bars - piece.bars() + 1;
  const double song_quarters = song.timeline.length().quarters();
  Lesson result;
  result.corpus = corpus;
  for (const char c : song.id) result.fold = (result.fold * 31 + static_cast<unsigned char>(c)) % 1000003;
  result.fold %= folds;
  result.whole = question(piece, 0, piece.bars(), song.main_tonic, 1);
  const int margin = (key_window_bars - key_block_bars) / 2;
  for (int bar = 0; bar < piece.bars(); bar += key_block_bars) {
    const HeldTonic held = tonic_held(song, first_bar + bar, first_bar + bar + key_block_bars);
    if (held.tonic < 0) continue;
    // A song's windows count two and a half songs together: they overlap four times.
    result.windows.push_back(
        question(piece, bar - margin, bar + key_block_bars + margin, held.tonic, 2.5 * held.quarters / song_quarters));
  }
  result.song = std::move(song);
  return result;
}

KeyModel fitted(const std::vector<Lesson>& lessons, const std::function<bool(const Lesson&)>& use) {
  std::vector<Question> songs;
  std::vector<Question> windows;
  for (const Lesson& each : lessons) {
    if (!use(each)) continue;
    songs.push_back(each.whole);
    windows.insert(windows.end(), each.windows.begin(), each.windows.end());
  }
  const auto song = fit_weights(songs, shrink);
  const auto window = fit_weights(windows, shrink);
  KeyModel model;
  std::copy(song.begin(), song.end(), model.song.begin());
  std::copy(window.begin(), window.end(), model.window.begin());
  return model;
}

/// How sure the model was, and how often that was right.
class Calibration {
 public:
  void add(double confidence, bool right) {
    Bin& bin = bins_[std::min<std::size_t>(9, static_cast<std::size_t>(confidence * 10))];
    bin.confidence += confidence;
    bin.right += right ? 1 : 0;
    count_ += 1;
  }
  /// Expected calibration error over ten bins (Guo et al., ICML 2017; from memory).
  [[nodiscard]] double error() const {
    double sum = 0;
    for (const Bin& bin : bins_) sum += std::abs(bin.confidence - bin.right);
    return sum / std::max(count_, 1.0);
  }

 private:
  struct Bin {
    double confidence = 0, right = 0;
  };
  std::array<Bin, 10> bins_{};
  double count_ = 0;
};

struct Score {
  double songs = 0, main = 0, two = 0, quarters = 0, local = 0;
  Calibration calibration;
};

int first_bar_of(const Timeline& timeline) { return timeline.bars - HeardPiece(timeline).bars() + 1; }

/// The first bars, counted from the first chord's.
Timeline opening(const Timeline& timeline, int bars) {
  Timeline result = timeline;
  result.bars = std::min(first_bar_of(timeline) + bars - 1, timeline.bars);
  std::erase_if(result.chords, [&](const TimedChord& timed) { return timed.bar > result.bars; });
  return result;
}

/// @param bars how much of the song is played; its whole length for 0.
void mark(const HeardSong& song, int bars, const KeyModel& model, Score& score) {
  const Timeline played = bars == 0 ? song.timeline : opening(song.timeline, bars);
  const int truth = bars == 0 ? song.main_tonic : tonic_held(song, 1, played.bars + 1).tonic;
  if (truth < 0) return;
  const KeyReading reading = find_key(played, std::nullopt, model);
  const auto is_truth = [&](const KeyGuess& guess) { return guess.key.tonic.semitone() == truth; };
  score.songs += 1;
  score.main += is_truth(reading.main) ? 1 : 0;
  score.two += is_truth(reading.main) || (!reading.alternatives.empty() && is_truth(reading.alternatives.front()));
  score.calibration.add(reading.main.confidence, is_truth(reading.main));
  for (std::size_t i = 0; i < played.chords.size(); ++i) {
    if (song.tonic_of_chord[i] < 0) continue;
    const double length = played.chords[i].length.quarters();
    const Key& key = reading.by_bar[static_cast<std::size_t>(played.chords[i].bar - 1)];
    score.quarters += length;
    if (key.tonic.semitone() == song.tonic_of_chord[i]) score.local += length;
  }
}

void print(const std::string& what, const Score& s) {
  fmt::print(
      "{:32} {:4.0f} songs: main tonic {:.1f} %, one of two {:.1f} %, tonic of the bar {:.1f} %, "
      "calibration error {:.1f} %\n",
      what, s.songs, 100 * s.main / s.songs, 100 * s.two / s.songs, 100 * s.local / s.quarters,
      100 * s.calibration.error());
}

void run(std::span<char* const> paths) {
  std::vector<Lesson> lessons;
  for (std::size_t corpus = 0; corpus < paths.size(); ++corpus) {
    for (HeardSong& song : read_corpus(paths[corpus])) lessons.push_back(lesson(std::move(song), corpus));
  }
  constexpr std::array<int, 3> lengths{0, 8, 4};
  std::vector<std::array<Score, lengths.size()>> scores(paths.size());
  std::array<Score, lengths.size()> all;
  for (std::size_t fold = 0; fold < folds; ++fold) {
    const KeyModel model = fitted(lessons, [&](const Lesson& each) { return each.fold != fold; });
    for (const Lesson& each : lessons) {
      if (each.fold != fold) continue;
      for (std::size_t i = 0; i < lengths.size(); ++i) {
        mark(each.song, lengths[i], model, scores[each.corpus][i]);
        mark(each.song, lengths[i], model, all[i]);
      }
    }
  }
  fmt::print("Songs held out of the fit, ten folds\n");
  for (std::size_t i = 0; i < lengths.size(); ++i) {
    const std::string part = lengths[i] == 0 ? "whole" : fmt::format("first {} bars", lengths[i]);
    for (std::size_t corpus = 0; corpus < paths.size(); ++corpus) {
      const std::string path = paths[corpus];
      print(path.substr(path.rfind('/') + 1) + ", " + part, scores[corpus][i]);
    }
    print("all, " + part, all[i]);
  }
  const KeyModel model = fitted(lessons, [](const Lesson&) { return true; });
  fmt::print("\nWeights fitted to all songs\n");
  for (std::size_t i = 0; i < evidence_count; ++i) {
    fmt::print("    {{\"{}\", {:.2f}, {:.2f}}},\n", evidence_names()[i], model.song[i], model.window[i]);
  }
}

}  // namespace
}  // namespace romanesca

int main(int argc, char** argv) {
  return romanesca::run_on_corpora({argv, static_cast<std::size_t>(argc)}, &romanesca::run);
}
