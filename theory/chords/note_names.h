#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"

namespace romanesca {

/// Whose names the notes have.
enum class NoteNames {
  english,  ///< B flat is Bb, B is B
  german,   ///< B flat is B, B is H; Fis, Es; a small letter is a minor chord
  solfege,  ///< Do Re Mi Fa Sol La Si, fixed on C
};

/// "english", "german", "solfege".
[[nodiscard]] std::string_view to_string(NoteNames names);
/// Nothing for any other word.
[[nodiscard]] std::optional<NoteNames> parse_note_names(std::string_view text);

/// The name of a note in these names: "Fis", "H", "Sib". ASCII.
[[nodiscard]] std::string name_in(PitchClass note, NoteNames names);
/// The chord in these names, "Fism7/A". English is to_string(chord).
[[nodiscard]] std::string name_in(const Chord& chord, NoteNames names);
/// The key in these names, "Fis minor". English is to_string(key).
[[nodiscard]] std::string name_in(const Key& key, NoteNames names);

}  // namespace romanesca
