#include "theory/chords/note_names.h"

#include <array>
#include <cstdlib>

#include "theory/chords/chord_suffix.h"
#include "theory/text/characters.h"

namespace romanesca {

std::string_view to_string(NoteNames names) {
  constexpr std::array<std::string_view, 3> words{"english", "german", "solfege"};
  return words[static_cast<std::size_t>(names)];
}

std::optional<NoteNames> parse_note_names(std::string_view text) {
  const std::string word = small_letters(text);
  for (const NoteNames names : {NoteNames::english, NoteNames::german, NoteNames::solfege}) {
    if (word == to_string(names)) return names;
  }
  return std::nullopt;
}

std::string name_in(PitchClass note, NoteNames names) {
  const int alteration = note.alteration();
  const auto times = static_cast<std::size_t>(std::abs(alteration));
  if (names == NoteNames::english) return to_string(note);
  if (names == NoteNames::solfege) {
    constexpr std::array<std::string_view, 7> syllables{"Do", "Re", "Mi", "Fa", "Sol", "La", "Si"};
    return std::string(syllables[static_cast<std::size_t>(note.letter())]) +
           std::string(times, alteration > 0 ? '#' : 'b');
  }
  const char letter = "CDEFGAH"[note.letter()];
  if (letter == 'H' && alteration < 0) return times == 1 ? "B" : "Bes";
  std::string name(1, letter);
  for (std::size_t i = 0; i < times; ++i) {
    const bool vowel = i == 0 && (letter == 'A' || letter == 'E');
    name += alteration > 0 ? "is" : vowel ? "s" : "es";
  }
  return name;
}

std::string name_in(const Chord& chord, NoteNames names) {
  if (names == NoteNames::english) return to_string(chord);
  std::string text = name_in(chord.root, names) + write_chord_suffix(chord.type);
  if (chord.bass != chord.root) text += "/" + name_in(chord.bass, names);
  return text;
}

std::string name_in(const Key& key, NoteNames names) {
  return name_in(key.tonic, names) + " " + std::string(to_string(key.mode));
}

}  // namespace romanesca
