#pragma once

#include <string>
#include <vector>

#include "theory/notes/meter.h"
#include "theory/notes/pitch.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// A note of a song's tune as it stands in a bar, or in the upbeat to a row of bars.
struct BarNote {
  Beats start;   ///< quarter notes from the start of the bar; in an upbeat from the first bar of its row, less than 0
  Beats length;  ///< quarter notes, more than 0; never past the end of the bar or upbeat
  Pitch pitch;
  bool tied = false;       ///< goes on in the next note, which has the same pitch and begins where this one ends
  std::string syllable{};  ///< as TuneNote::syllable; empty in a note that one is tied to
  SyllableEnd end = SyllableEnd::word;
  std::vector<Syllable> later_verses{};  ///< as TuneNote::later_verses

  friend bool operator==(const BarNote&, const BarNote&) = default;
};

/// The notes of a bar in order of time; what lies between them is rest.
using BarNotes = std::vector<BarNote>;

/// The notes moved, spelled by the interval.
inline void transpose(BarNotes& notes, Interval by) {
  for (BarNote& note : notes) note.pitch = note.pitch + by;
}

/// The interval, made to lead to the nearest octave of where it leads: at most a tritone up or down. A tune that is put
/// into another key stays in the range of a voice.
[[nodiscard]] constexpr Interval nearest_octave_of(Interval by) noexcept {
  const int semitones = by.semitones();
  const int octaves = semitones > 6 ? -((semitones + 5) / 12) : semitones < -6 ? (-semitones + 5) / 12 : 0;
  return by + Interval(0, octaves);
}

}  // namespace romanesca
