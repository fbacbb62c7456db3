#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "theory/notes/meter.h"

namespace romanesca {

/// What a note looks like: a head and stem for 2^power quarter notes (0 a quarter, 2 a whole note, -1 an eighth), and
/// at most one dot.
struct NoteValue {
  int power = 0;
  bool dotted = false;

  /// Outside any tuplet.
  [[nodiscard]] Beats length() const noexcept;
  friend bool operator==(NoteValue, NoteValue) noexcept = default;
};

/// "quarter", "16th": the word of MusicXML for the value without its dot.
[[nodiscard]] std::string_view type_name(NoteValue value) noexcept;

/// @p actual notes of the value @p unit in the time of @p normal of them.
struct Tuplet {
  int actual = 3;
  int normal = 2;
  NoteValue unit;
  bool opens = false;   ///< the note is the first of its bracket
  bool closes = false;  ///< the last
};

/// A note or rest as it is written. A chord that no single value can show is several of these, tied.
struct WrittenNote {
  std::size_t event = 0;  ///< which of the lengths given it is a part of
  Beats length;           ///< that it sounds
  NoteValue value;
  std::optional<Tuplet> tuplet;
};

/// How a bar is written whose events follow each other without a gap.
/// @param lengths all positive; together the bar's length.
///
/// Where every length is a binary fraction, notes are cut where a pulse begins and tied, so that the pulse stays
/// visible: 5/4 as three and two, 9/8 as a dotted half and a dotted quarter. Any other bar is one or more tuplets:
/// three chords in 4/4 are three halves in the time of two, twelve are four triplets of eighths. Three chords in 5/4,
/// and the like in 9/8, have no usual notation; they are written as three quarters in the time of five.
[[nodiscard]] std::vector<WrittenNote> written_bar(std::span<const Beats> lengths, const Meter& meter);

}  // namespace romanesca
