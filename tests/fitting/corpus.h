// The songs to which tables of the project are fitted. They are not part of the project: two published corpora of rock
// and chart songs (named in theory/analysis/key_model.cpp), which its authors keep beside the project as
//   ../shared/data/rs200_open.jsonl ../shared/data/billboard_open.jsonl
// Any file of the form that read_corpus describes will do.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "theory/songs/progression.h"

namespace romanesca {

/// A song of a corpus with the keys that a listener gave it.
struct HeardSong {
  std::string id;
  Timeline timeline;
  std::vector<int> tonic_of_chord;  ///< 0 to 11 for each chord of the timeline; -1 where the listener named none
  int main_tonic = 0;               ///< the one held longest
};

/// The tonic held longest among the chords that begin in the bars from @p first to before @p end (from 1), and for how
/// many quarter notes; -1 where none is named.
struct HeldTonic {
  int tonic = -1;
  double quarters = 0;
};
[[nodiscard]] HeldTonic tonic_held(const HeardSong& song, int first, int end);

/// Reads a file of one JSON object a line: `slots` of each bar, `chords` with `sym`, `start` and `dur` in bars, `tonic`
/// and `rr`; either in the object itself or, for two listeners, under "A" and "B", which give two songs. Throws
/// std::runtime_error, with the file and the line, if there is no such file, a line does not fit or no song is in it.
[[nodiscard]] std::vector<HeardSong> read_corpus(const std::string& path);

/// The `main` of a program that reads corpora: calls @p run with the paths given.
/// @return 0; 2 if no path was given; 3 if a corpus is missing or damaged, which standard error tells
[[nodiscard]] int run_on_corpora(std::span<char* const> arguments, void (*run)(std::span<char* const> paths));

}  // namespace romanesca
