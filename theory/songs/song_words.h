#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

#include "theory/text/embedded_text.h"

namespace romanesca {

/// What a word around the chords of a song says.
enum class SongWord {
  section,         ///< "verse", "strophe"
  before_section,  ///< "last", "repeat"
  before_recall,   ///< "back to"
  recall,          ///< "again", "same as above": the chords of the section before
  same_as,         ///< "same as", "wie": the name of a section follows
  twice,
  thrice,
  key,
  tempo,
  meter,
  capo,
  title,
  composer,  ///< "by", "words and music"
  author,    ///< "arranged by", "copyright": who did something else
  names,
  style,
  guitar,     ///< "strumming": says something to guitarists only
  form,       ///< "order": the names of sections follow
  character,  ///< "slow", "waltz"
  greeting,   ///< begins a letter, or the end of one
  german,     ///< a word that only a German text has
};

/// The files of words, theory/songs/song_words.txt.
[[nodiscard]] std::span<const EmbeddedText> song_word_texts();

/// Small letters, also of the letters of western Europe beyond ASCII; blanks, tabs and no-break spaces as one blank,
/// none at the ends.
[[nodiscard]] std::string folded(std::string_view text);

/// Whether the phrase, as folded() makes it, is of the kind.
[[nodiscard]] bool is_song_word(SongWord kind, std::string_view phrase);

/// How many bytes at the start of a folded text are a phrase of the kind, the longest there is, ending at a word's end;
/// 0 for none.
[[nodiscard]] std::size_t song_word_at_start(SongWord kind, std::string_view text);

}  // namespace romanesca
