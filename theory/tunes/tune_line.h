#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "theory/notes/meter.h"
#include "theory/tunes/bar_notes.h"
#include "theory/tunes/music_code.h"

namespace romanesca {

/// What counts where a typed line of a tune begins.
struct TuneLineSettings {
  Meter meter{};
  int signature = 0;                 ///< sharps (positive) or flats (negative)
  Beats unit{1, 2};                  ///< what a letter alone lasts, in quarter notes
  std::size_t bars = 0;              ///< of the line of chords above; 0 where there is none: as many as it has
  std::optional<Pitch> tied_from{};  ///< the last note before the line, where it is tied
};

/// A bar whose notes do not fill it.
struct ShortBar {
  std::size_t bar = 0;             ///< index
  std::size_t at = 0, length = 0;  ///< bytes
  Beats missing{};
};

/// A typed line of a tune: bars, and before them perhaps the notes of an upbeat.
struct TuneLine {
  BarNotes upbeat;
  Beats upbeat_length{};
  std::vector<BarNotes> bars;
  std::vector<ShortBar> short_bars{};  ///< in order; where an upbeat follows, they are right
  std::optional<Pitch> tied_to{};      ///< the last note, where it is tied
  Beats unit{1, 2};                    ///< at its end
  bool is_notes = true;                ///< what stands there are signs of notes, even if they do not fill their bars
  std::optional<MusicFault> fault{};
  std::optional<MusicFault> repeats{};  ///< the first repeat sign or ending; the line of chords has to have them too
  std::optional<MusicFault> doubt{};    ///< what could be meant otherwise
};

/// Reads the notes of a line as ABC 2.1 writes them. A first bar that is short, and one more than the line above has,
/// is an upbeat.
[[nodiscard]] TuneLine read_tune_line(std::string_view line, const TuneLineSettings& settings);

/// "3 beats", "2 1/2 beats": a time in the unit of the meter's lower number.
[[nodiscard]] std::string beats_text(Beats time, Meter meter);

}  // namespace romanesca
