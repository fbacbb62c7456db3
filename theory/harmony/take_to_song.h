#pragma once

#include <span>
#include <string>
#include <vector>

#include "theory/songs/song_form.h"
#include "theory/songs/song_reading.h"
#include "theory/tunes/quantiser.h"

namespace romanesca {

/// A chord that the band played during a take.
struct TakeChord {
  Beats start;  ///< quarter notes from the beginning of bar 1
  std::string symbol;
};

/// What is known of a take.
struct TakeFacts {
  std::string title;
  Meter meter{};
  std::optional<Key> key{};  ///< nothing: the chords decide, without chords the notes
  double quarters_per_minute = 120;
  std::vector<TakeChord> chords{};  ///< in order
};

/// The melody of what was played: of notes that begin together the highest, and none that begins below one that sounds
/// on for longer. @param notes in any order
[[nodiscard]] std::vector<TakeNote> top_line(std::vector<TakeNote> notes);

/// The letters of notes in a key: its scale's own, and for the others the raised one where the tune goes on a semitone
/// up, the lowered one where it goes on a semitone down, else the usual one (common practice, no source).
[[nodiscard]] std::vector<Pitch> spelled_line(std::span<const TakeNote> notes, const Key& key);

/// A take as a song with a tune: quantised, spelled, in rows of four bars with the chords, or none. The first bars that
/// are empty are left out; notes in the second half of the bar before the first full one are its upbeat.
/// What was decided is told. Refuses a take without notes.
[[nodiscard]] Parsed<SongReading> song_of_take(std::vector<TakeNote> notes, const TakeFacts& facts);

}  // namespace romanesca
