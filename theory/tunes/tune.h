#pragma once

#include <string>
#include <vector>

#include "theory/notes/meter.h"
#include "theory/notes/pitch.h"

namespace romanesca {

/// How a sung syllable goes on, as under the notes of a song.
enum class SyllableEnd {
  word,    ///< the word is finished
  hyphen,  ///< the word goes on with the next syllable
  held,    ///< the last syllable of a word that is held over the notes after it, which have none of their own
};

/// What a verse sings from a note on.
struct Syllable {
  std::string text;  ///< empty where nothing is sung from there
  SyllableEnd end = SyllableEnd::word;

  friend bool operator==(const Syllable&, const Syllable&) = default;
};

/// A note of a melody.
struct TuneNote {
  Beats start;   ///< quarter notes from the first beat of bar 1 as played; less than 0 in an upbeat
  Beats length;  ///< quarter notes, more than 0; ties are written into it
  Pitch pitch;
  std::string syllable{};  ///< empty where none is sung from here
  SyllableEnd end = SyllableEnd::word;
  std::vector<Syllable> later_verses{};  ///< what the second and further verses sing; none at the end is empty

  friend bool operator==(const TuneNote&, const TuneNote&) = default;
};

/// A melody of one voice, in order of time. No two notes sound together; what lies between them is rest.
struct Tune {
  Beats upbeat;  ///< length of the incomplete bar before bar 1, 0 for none
  std::vector<TuneNote> notes;
  // How it stands on paper, where it was asked for that (paper_tune.h).
  std::vector<int> short_bars{};  ///< bars as played, from 1 on, that are written shorter by the upbeat
  bool repeats_upbeat = false;    ///< a repeat sign stands before the upbeat, not before bar 1

  friend bool operator==(const Tune&, const Tune&) = default;
};

}  // namespace romanesca
