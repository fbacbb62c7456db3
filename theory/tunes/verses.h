#pragma once

#include <algorithm>
#include <cstddef>
#include <utility>

#include "theory/tunes/tune.h"

namespace romanesca {

/// How many verses may stand under the notes of a tune.
inline constexpr std::size_t most_verses = 9;

/// What a verse sings from a TuneNote or BarNote on. @param verse from 0
template <typename Note>
[[nodiscard]] Syllable syllable_of(const Note& note, std::size_t verse) {
  if (verse == 0) return {note.syllable, note.end};
  return verse <= note.later_verses.size() ? note.later_verses[verse - 1] : Syllable{};
}

/// Puts a syllable of a verse under a note, or takes it away where its text is empty. @param verse from 0
template <typename Note>
void set_syllable(Note& note, std::size_t verse, Syllable syllable) {
  if (verse == 0) {
    note.syllable = std::move(syllable.text);
    note.end = syllable.end;
    return;
  }
  if (syllable.text.empty()) syllable.end = SyllableEnd::word;
  if (note.later_verses.size() < verse) note.later_verses.resize(verse);
  note.later_verses[verse - 1] = std::move(syllable);
  while (!note.later_verses.empty() && note.later_verses.back().text.empty()) note.later_verses.pop_back();
}

/// Takes the words of all verses away.
template <typename Note>
void clear_syllables(Note& note) {
  note.syllable.clear();
  note.end = SyllableEnd::word;
  note.later_verses.clear();
}

/// How many verses have words under these notes: up to the last that has any.
template <typename Notes>
[[nodiscard]] std::size_t count_verses(const Notes& notes) {
  std::size_t verses = 0;
  for (const auto& note : notes) {
    if (!note.syllable.empty()) verses = std::max<std::size_t>(verses, 1);
    if (!note.later_verses.empty()) verses = std::max(verses, note.later_verses.size() + 1);
  }
  return verses;
}

}  // namespace romanesca
