#include "progressions/exercises/wording.h"

#include <array>

namespace romanesca {

std::vector<std::string> names_of(const std::vector<Chord>& chords) {
  std::vector<std::string> names;
  names.reserve(chords.size());
  for (const Chord& chord : chords) names.push_back(to_string(chord));
  return names;
}

std::string with_dashes(const std::vector<Chord>& chords) {
  std::string text;
  for (const Chord& chord : chords) text += (text.empty() ? "" : " - ") + to_string(chord);
  return text;
}

std::string listed(const std::vector<std::string>& names) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i) {
    text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  }
  return text;
}

std::string listed(const std::vector<PitchClass>& notes) {
  std::vector<std::string> names;
  names.reserve(notes.size());
  for (const PitchClass note : notes) names.push_back(to_string(note));
  return listed(names);
}

std::string number_word(std::size_t number) {
  constexpr std::array<std::string_view, 13> words{"no",    "one",   "two",  "three", "four",   "five",  "six",
                                                   "seven", "eight", "nine", "ten",   "eleven", "twelve"};
  return number < words.size() ? std::string(words[number]) : std::to_string(number);
}

}  // namespace romanesca
