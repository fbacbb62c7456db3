// Writes progressions/continuations.txt and measures it.
//
//   continuations CORPUS.jsonl...
//
// prints the table to standard output, and to standard error how often, in songs held out of the counts (ten folds by
// song), the next chord is among the first one, three and five. It needs corpora that are not part of the project: see
// corpus.h.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "progressions/continuation.h"
#include "tests/fitting/corpus.h"

namespace romanesca {
namespace {

constexpr std::size_t folds = 10;
constexpr int fewest = 120;           // changes from a chord that make a row
constexpr std::size_t most_next = 8;  // entries of a row

/// From (mode and chord) to what follows, counted.
using Counts = std::map<std::pair<bool, std::string>, std::map<std::string, int>>;

struct Change {
  bool minor = false;
  std::string from, to;
};

/// The changes of chord inside one key, as numerals.
std::vector<Change> changes_of(const HeardSong& song) {
  std::array<double, 12> minor_time{};
  const auto& chords = song.timeline.chords;
  for (std::size_t i = 0; i < chords.size(); ++i) {
    const int tonic = song.tonic_of_chord[i];
    if (!chords[i].chord || tonic < 0 || chords[i].chord->root.semitone() != tonic) continue;
    minor_time[static_cast<std::size_t>(tonic)] +=
        chords[i].length.quarters() * (chords[i].chord->type.is_minor() ? 1 : -1);
  }
  std::vector<Change> changes;
  for (std::size_t i = 1; i < chords.size(); ++i) {
    const int tonic = song.tonic_of_chord[i];
    if (!chords[i].chord || !chords[i - 1].chord || tonic < 0 || song.tonic_of_chord[i - 1] != tonic) continue;
    const PitchClass name(7 * tonic % 12);
    const std::string from = to_string(step_of(*chords[i - 1].chord, name));
    const std::string to = to_string(step_of(*chords[i].chord, name));
    if (from != to) changes.push_back({minor_time[static_cast<std::size_t>(tonic)] > 0, from, to});
  }
  return changes;
}

std::vector<std::pair<std::string, int>> ranked(const std::map<std::string, int>& next) {
  std::vector<std::pair<std::string, int>> order(next.begin(), next.end());
  std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
  return order;
}

void measure(const std::vector<std::vector<Change>>& songs) {
  std::array<double, 3> among{};
  double asked = 0;
  for (std::size_t fold = 0; fold < folds; ++fold) {
    Counts counts;
    for (std::size_t s = 0; s < songs.size(); ++s) {
      if (s % folds == fold) continue;
      for (const Change& each : songs[s]) counts[{each.minor, each.from}][each.to] += 1;
    }
    for (std::size_t s = fold; s < songs.size(); s += folds) {
      for (const Change& each : songs[s]) {
        asked += 1;
        const auto order = ranked(counts[{each.minor, each.from}]);
        const auto place = std::find_if(order.begin(), order.end(), [&](const auto& x) { return x.first == each.to; });
        for (const auto& [slot, reach] : {std::pair{0U, 1}, {1U, 3}, {2U, 5}}) {
          if (place != order.end() && place - order.begin() < reach) among[slot] += 1;
        }
      }
    }
  }
  fmt::print(stderr,
             "held out: {:.0f} changes; the next chord is the first {:.1f} %, among three {:.1f} %, five {:.1f} %\n",
             asked, 100 * among[0] / asked, 100 * among[1] / asked, 100 * among[2] / asked);
}

void run(std::span<char* const> paths) {
  std::vector<std::vector<Change>> songs;
  std::string last_id;
  for (const char* path : paths) {
    for (const HeardSong& song : read_corpus(path)) {
      if (song.id != last_id) songs.push_back(changes_of(song));  // the first listener of each song
      last_id = song.id;
    }
  }
  measure(songs);
  Counts counts;
  for (const auto& song : songs) {
    for (const Change& each : song) counts[{each.minor, each.from}][each.to] += 1;
  }
  for (const auto& [from, next] : counts) {
    int all = 0;
    for (const auto& [to, count] : next) all += count;
    if (all < fewest) continue;
    std::string line = fmt::format("{} | {} |", from.first ? "minor" : "major", from.second);
    std::size_t entries = 0;
    for (const auto& [to, count] : ranked(next)) {
      const int percent = (100 * count + all / 2) / all;
      if (entries++ == most_next || percent < 2) break;
      line += fmt::format(" {} {}", to, percent);
    }
    fmt::print("{}\n", line);
  }
}

}  // namespace
}  // namespace romanesca

int main(int argc, char** argv) {
  return romanesca::run_on_corpora({argv, static_cast<std::size_t>(argc)}, &romanesca::run);
}
