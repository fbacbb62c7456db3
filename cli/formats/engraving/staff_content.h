#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "cli/formats/written_rhythm.h"
#include "theory/chords/key.h"
#include "theory/notes/meter.h"
#include "theory/notes/pitch.h"

namespace romanesca {

// What stands on staves, before it has a place on paper.

/// Staff steps count letters through the octaves: C4 is 28, E4, the treble staff's lowest line, is 30.
[[nodiscard]] constexpr int staff_step(const Pitch& note) noexcept { return note.name().letter() + 7 * note.octave(); }

struct StaffNote {
  Pitch pitch;
  int finger = 0;            ///< 1 to 5; 0 for none
  bool tied = false;         ///< to the same pitch of the next event on its staff
  bool from_before = false;  ///< tied to the same pitch of the line before; for a line's first event
};

/// Notes struck together, or a rest.
struct StaffEvent {
  Beats start;  ///< from the beginning of its bar
  NoteValue value;
  std::optional<Tuplet> tuplet;
  std::vector<StaffNote> notes;  ///< from low to high; empty for a rest
  bool slash = false;            ///< a slash on the middle line in place of notes: play here, as you like
  bool whole_bar = false;        ///< a rest that fills its bar, set in the bar's middle
};

/// What a staff begins with. A rhythm staff is one line without a clef.
enum class Clef : std::uint8_t { treble, bass, rhythm };

enum class BarLine : std::uint8_t { none, single, twofold, final, start_repeat, end_repeat };

/// Something that is set over a column of notes by whoever sets the page, as a chord symbol.
struct StaffLabel {
  Beats at;           ///< from the beginning of its bar
  double width = 0;   ///< in points, with the air after it
  double before = 0;  ///< how far it reaches to the left of the column, in points
};

struct StaffBar {
  Meter meter;
  std::vector<std::vector<StaffEvent>> staves;  ///< for each staff its events, without gaps; no events for an empty bar
  std::vector<StaffLabel> labels;
  /// Under the highest staff, for each verse. Those of a verse keep clear of each other, not of the labels.
  std::vector<std::vector<StaffLabel>> syllables{};
  Beats begins{};  ///< what sounds of the bar begins here: more than 0 in an upbeat
  BarLine left = BarLine::none, right = BarLine::single;
};

/// One line of music: staves over each other.
struct StaffSystem {
  std::vector<Clef> clefs;
  Key key;
  bool shows_key = true;             ///< clef and signature stand at the beginning
  std::optional<Meter> shows_meter;  ///< a time signature at the beginning
  bool brace = false;                ///< the staves belong to one instrument
  std::vector<StaffBar> bars;
  double space = 5;            ///< between two lines, in points
  double finger_height = 5.6;  ///< of fingering, in points
  bool even_bars = false;      ///< bars of equal width, to write in
  double words_height = 0;     ///< room for words under the highest of several staves, in points
};

}  // namespace romanesca
