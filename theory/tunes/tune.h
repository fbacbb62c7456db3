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

/// A note of a melody.
struct TuneNote {
  Beats start;   ///< quarter notes from the first beat of bar 1 as played; less than 0 in an upbeat
  Beats length;  ///< quarter notes, more than 0; ties are written into it
  Pitch pitch;
  std::string syllable{};  ///< empty where none is sung from here
  SyllableEnd end = SyllableEnd::word;

  friend bool operator==(const TuneNote&, const TuneNote&) = default;
};

/// A melody of one voice, in order of time. No two notes sound together; what lies between them is rest.
struct Tune {
  Beats upbeat;  ///< length of the incomplete bar before bar 1, 0 for none
  std::vector<TuneNote> notes;

  friend bool operator==(const Tune&, const Tune&) = default;
};

}  // namespace romanesca
