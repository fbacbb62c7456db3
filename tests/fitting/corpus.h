#pragma once

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
/// std::runtime_error for a file that cannot be read and for a symbol that is no chord.
[[nodiscard]] std::vector<HeardSong> read_corpus(const std::string& path);

}  // namespace romanesca
