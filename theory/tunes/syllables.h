#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "theory/tunes/bar_notes.h"
#include "theory/tunes/music_code.h"

namespace romanesca {

/// A note that may be sung, and the bar of its line that it stands in.
struct SungNote {
  BarNote* note = nullptr;
  std::size_t bar = 0;  ///< from 1; 0 for the upbeat
};

/// The notes of a line that take a syllable: all but those that one is tied to.
/// @param tied_before the note before the line is tied to its first one
[[nodiscard]] std::vector<SungNote> sung_notes(BarNotes& upbeat, const std::vector<BarNotes*>& bars, bool tied_before);

/// How words fitted under their notes.
struct PlacedSyllables {
  std::optional<MusicFault> fault;  ///< more syllables than notes, by bytes of the words
  std::size_t notes_left = 0;       ///< at the end of the line, after the last syllable; 0 for a line without words
};

/// Puts the words of a line under its notes, with the signs of ABC 2.1, section 5.1: a blank parts words, "-" the
/// syllables of one; "_" holds a syllable over one more note; "*" is a note without words; "|" goes on in the next bar;
/// "~" is a blank inside a syllable, "\-" a hyphen. What these notes had of that verse before is taken away.
/// @param verse from 0; its number before the words ("2. ") is no syllable
[[nodiscard]] PlacedSyllables put_syllables(std::string_view words, const std::vector<SungNote>& notes,
                                            std::size_t verse = 0);

/// How many notes the words need.
[[nodiscard]] std::size_t count_syllables(std::string_view words);

/// The words of a verse, from 0, in the same signs; empty where no note has any.
[[nodiscard]] std::string syllables_text(const std::vector<SungNote>& notes, std::size_t verse = 0);

}  // namespace romanesca
