// Writes synth/hearing/chord_successions.txt.
//
//   chord_successions CORPUS.jsonl...
//
// prints the table to standard output. It needs corpora that are not part of the project: see corpus.h.
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "cli/studio/heard_chords.h"
#include "synth/hearing/chord_class.h"
#include "tests/fitting/corpus.h"

namespace romanesca {
namespace {

constexpr int fewest = 2;  // changes from one chord to another that make an entry

struct SuccessionCounts {
  std::array<double, chord_classes> quarters{};
  std::map<std::size_t, std::map<std::size_t, int>> next;
  std::map<int, std::vector<double>> changes;  ///< by number of pulses, on each
  std::map<int, int> bars;
};

void count(const HeardSong& song, SuccessionCounts& counts) {
  std::optional<std::size_t> before;
  std::set<std::pair<int, int>> changes;  // bar and pulse
  const auto& chords = song.timeline.chords;
  for (std::size_t i = 0; i < chords.size(); ++i) {
    const auto heard = chords[i].chord ? heard_class_of(*chords[i].chord) : std::nullopt;
    const int tonic = song.tonic_of_chord[i];
    if (!heard || tonic < 0) {
      before.reset();
      continue;
    }
    const std::size_t chord = moved_class(*heard, -tonic);
    counts.quarters[chord] += chords[i].length.quarters();
    if (before && *before != chord) ++counts.next[*before][chord];
    const bool same_tonic = i > 0 && song.tonic_of_chord[i - 1] == tonic;
    if (!before || *before != chord || !same_tonic) {
      const Meter meter = song.timeline.meters.at(chords[i].bar);
      const Beats in_bar = chords[i].start - song.timeline.meters.start_of(chords[i].bar);
      const Beats pulse = meter.pulse_length();
      if (whole_times(in_bar, pulse) * pulse == in_bar)
        changes.emplace(chords[i].bar, static_cast<int>(whole_times(in_bar, pulse)));
    }
    before = chord;
  }
  for (int bar = 2; bar <= song.timeline.bars; ++bar) {
    const int pulses = song.timeline.meters.at(bar).pulses();
    auto& row = counts.changes[pulses];
    row.resize(static_cast<std::size_t>(pulses));
    ++counts.bars[pulses];
    for (int pulse = 0; pulse < pulses; ++pulse)
      row[static_cast<std::size_t>(pulse)] += changes.contains({bar, pulse}) ? 1 : 0;
  }
}

std::string words_of(std::size_t chord) {
  return fmt::format("{} {}", root_of(chord), chord_quality_words[static_cast<std::size_t>(quality_of(chord))]);
}

void write_table(std::span<char* const> paths) {
  SuccessionCounts counts;
  std::size_t songs = 0;
  for (const char* path : paths) {
    for (const HeardSong& song : read_corpus(path)) {
      count(song, counts);
      ++songs;
    }
  }
  fmt::print(
      "# Which chords songs use, what they go on with, and on which pulse of the bar: what synth/hearing expects.\n"
      "#\n"
      "# A chord is its root in semitones above the tonic (of major and minor keys alike) and a word of\n"
      "# chord_quality_words. time: quarter notes in all. next: the chord, then those that follow it with how often, "
      "two\n"
      "# times at least. change: how often a bar of so many pulses has another chord on each of them.\n"
      "# Counted by tests/fitting/chord_successions in {} analyses of rock and chart songs (the open halves of two\n"
      "# published corpora: de Clercq & Temperley, Popular Music 30/1, 2011, CC BY 4.0; Burgoyne, Wild & Fujinaga, "
      "ISMIR\n"
      "# 2011, CC0). Only counts are kept; no song can be told from them.\n",
      songs);
  for (std::size_t chord = 0; chord < no_chord_class; ++chord) {
    if (counts.quarters[chord] >= 1) fmt::print("time {} {:.0f}\n", words_of(chord), counts.quarters[chord]);
  }
  for (const auto& [chord, row] : counts.next) {
    std::string line;
    for (const auto& [next, number] : row) {
      if (number >= fewest) line += fmt::format("  {} {}", words_of(next), number);
    }
    if (!line.empty()) fmt::print("next {}{}\n", words_of(chord), line);
  }
  for (const auto& [pulses, row] : counts.changes) {
    if (counts.bars[pulses] < 100) continue;
    fmt::print("change");
    for (const double changes : row) fmt::print(" {:.3f}", changes / counts.bars[pulses]);
    fmt::print("\n");
  }
}

}  // namespace
}  // namespace romanesca

int main(int count, char** arguments) {
  return romanesca::run_on_corpora(std::span(arguments, static_cast<std::size_t>(count)), romanesca::write_table);
}
