#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "theory/chords/key.h"
#include "theory/songs/progression.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// What a long note outside its chord does there (categories of harmony textbooks: Kostka & Payne; Aldwell & Schachter;
/// from memory).
enum class OutsideKind : std::uint8_t {
  suspension,    ///< held or sung again from the chord before, then falls by step into the chord
  appoggiatura,  ///< goes by step into the chord
  colour,        ///< a sixth, seventh or ninth that the chord can take up
  clash,         ///< a semitone above a tone of the chord, and it stays
  foreign,       ///< none of these
};

/// "suspension", "appoggiatura", "colour", "clash", "foreign".
[[nodiscard]] std::string_view to_string(OutsideKind kind);

/// A long note that is not in the chord that sounds with it.
struct OutsideNote {
  std::size_t note = 0;  ///< index into the tune
  int bar = 1;           ///< where they sound together first
  Beats beat;            ///< of that bar, from 1 in units of the meter's lower number
  Beats start;           ///< the same, in quarter notes from bar 1
  Chord chord;
  OutsideKind kind = OutsideKind::foreign;
  std::string text;  ///< what it is and what a songwriter would do about it: one or two sentences
  /// It is heard as a rub: a clash, or foreign.
  [[nodiscard]] bool rubs() const noexcept { return kind == OutsideKind::clash || kind == OutsideKind::foreign; }
};

/// The long notes of a tune outside their chords, in order: those that sound for a pulse or more with one chord.
/// @param key of the song, for the chords that could stand there instead
[[nodiscard]] std::vector<OutsideNote> notes_outside_chords(const Tune& tune, const Timeline& timeline, const Key& key);

/// Long notes, and how many of them are tones of their chord.
struct ToneCount {
  int long_notes = 0, chord_tones = 0;
};
[[nodiscard]] ToneCount count_chord_tones(const Tune& tune, const Timeline& timeline);

}  // namespace romanesca
