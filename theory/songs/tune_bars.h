#pragma once

#include <string>
#include <vector>

#include "theory/songs/song_form.h"
#include "theory/songs/song_reading.h"
#include "theory/tunes/bar_notes.h"

namespace romanesca {

/// A chord of a measure.
struct MeasureChord {
  Beats start;  ///< from the beginning of the measure
  Slot slot;
};

/// What stands between two bar lines of a melody with chords, as a file has it: it need not be a whole bar.
struct Measure {
  BarNotes notes;
  Beats length;
  std::vector<MeasureChord> chords;  ///< in order
  SongChange counts;                 ///< what counts in it
  Meter meter{};
  bool opens = false;   ///< "|:" before it
  bool closes = false;  ///< ":|" after it
  int ending = 0;       ///< first pass of an ending that begins with it; 0 for none
  int ending_to = 0;
  bool after_double = false;  ///< a double bar line before it
  bool begins_row = false;
  std::string section{};  ///< a section of this name begins with it; empty for none
  int line = 0;           ///< in the text, from 1
};

/// The measures as rows of whole bars. One that is short at the beginning, or after a repeat or double bar line, is the
/// upbeat to the next; two short ones in a row are one bar; any other short one ends with a rest, a long one becomes
/// several bars. A repeat that is only closed begins at the double bar or repeat sign before it.
/// @param remarks what was changed is added to it
[[nodiscard]] std::vector<WrittenSection> sections_of(std::vector<Measure> measures, std::vector<std::string>& remarks);

/// Plays the sections out into a reading. What counts in the first row becomes the song's own meter, key and tempo.
/// @return false where the song is too long as played
[[nodiscard]] bool play_into(const std::vector<WrittenSection>& sections, SongReading& reading);

/// The chords of a bar as slots: in equal parts where they fall so, else beat by beat with holds. A bar without a chord
/// at its beginning goes on with the one before.
/// @param before the slot that sounds before the bar, which is changed to its last; without one nothing sounds
[[nodiscard]] std::vector<Slot> slots_of(const std::vector<MeasureChord>& chords, Meter meter, Slot& before);

}  // namespace romanesca
