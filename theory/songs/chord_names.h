#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "theory/chords/note_names.h"
#include "theory/songs/symbol_text.h"

namespace romanesca {

/// What a small letter at the start of a chord's name means.
enum class SmallLetters { refused, as_capitals, minor };

/// How a text writes its chords.
struct ChordHabit {
  NoteNames names = NoteNames::english;
  SmallLetters small = SmallLetters::refused;
  Notation notation = Notation::absolute;
  friend bool operator==(const ChordHabit&, const ChordHabit&) = default;
};

/// Reads one chord as people type it: beside what parse_symbol reads, other names of notes, small letters, "^7" and
/// "dom7", words in capitals (AMIN7), a star after it (a footnote), "Dur" and "Moll". Nothing for any other text.
[[nodiscard]] std::optional<Symbol> read_typed_chord(std::string_view token, const ChordHabit& habit);

/// A key as people type it, in these names: "Eb", "a-moll", "Fis-Dur", "Fa", "E flat minor".
[[nodiscard]] std::optional<KeyText> read_typed_key(std::string_view text, NoteNames names);

}  // namespace romanesca
