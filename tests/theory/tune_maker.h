#pragma once

#include <algorithm>
#include <string_view>

#include "theory/chords/chord_naming.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// A tune of equal notes: "C4 D4 - E4": a minus holds the note before, a dot is a rest. Invented for these tests.
inline Tune tune_of_text(std::string_view text, Beats each = Beats(1), Beats start = Beats(0)) {
  Tune tune;
  if (start < Beats(0)) tune.upbeat = Beats(0) - start;
  Beats now = start;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string_view word = text.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    if (word == "-") {
      tune.notes.back().length += each;
    } else if (const auto pitch = parse_pitch(word)) {
      tune.notes.push_back({now, each, *pitch});
    }
    now += each;
  }
  return tune;
}

/// The tune that many semitones higher, spelled anyhow.
inline Tune moved(Tune tune, int semitones) {
  for (TuneNote& note : tune.notes) {
    const int midi = note.pitch.midi() + semitones;
    note.pitch = lowest_at_or_above(spelled_in(midi % 12, {}), midi);
  }
  return tune;
}

/// Eight bars in C major that end on their tonic, for a first lesson.
inline constexpr std::string_view little_tune =
    "C4 E4 G4 E4 F4 A4 G4 - E4 G4 C5 G4 A4 F4 D4 - E4 C4 E4 G4 A4 F4 A4 C5 B4 G4 D4 F4 C4 - - -";

}  // namespace romanesca
