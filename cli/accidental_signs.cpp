#include "cli/accidental_signs.h"

#include <algorithm>
#include <cstdlib>

#include "theory/chords/chord.h"
#include "theory/chords/numeral_text.h"
#include "theory/notes/pitch.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

constexpr std::string_view around_words = " \t\r\n|\"'()[],;";
constexpr std::string_view after_words = ".:!?";

bool is_accidental(char c) { return c == 'b' || c == '#'; }
bool is_numeral_letter(char c) { return c == 'i' || c == 'v' || c == 'I' || c == 'V'; }

/// "3-#5-7", "b9", "#11": degrees, with at least one accidental.
bool is_degrees(std::string_view word) {
  if (word.find_first_not_of("0123456789b#-") != std::string_view::npos) return false;
  for (std::size_t i = 0; i < word.size(); ++i) {
    if (!is_accidental(word[i])) continue;
    const bool before_degree = i + 1 < word.size() && is_digit(word[i + 1]);
    if (!before_degree || (i > 0 && word[i - 1] != '-')) return false;
  }
  return true;
}

bool reads_as_music(std::string_view word) {
  if (word == "#1") return false;  // the first of a list
  return is_degrees(word) || parse_pitch(word) || parse_chord(word) || parse_roman(word) || parse_number(word);
}

/// Whether the letter at this place is an accidental: after the name of a note, or before a number or numeral.
bool is_sign(std::string_view word, std::size_t i) {
  if (!is_accidental(word[i])) return false;
  std::size_t first = i;  // of a row of accidentals
  while (first > 0 && is_accidental(word[first - 1])) --first;
  const bool after_note =
      first > 0 && word[first - 1] >= 'A' && word[first - 1] <= 'G' && (first == 1 || word[first - 2] == '/');
  std::size_t next = i + 1;
  while (next < word.size() && is_accidental(word[next])) ++next;
  return after_note || (next < word.size() && (is_digit(word[next]) || is_numeral_letter(word[next])));
}

void append_word(std::string& text, std::string_view word) {
  const std::size_t end = word.find_last_not_of(after_words) + 1;
  const std::string_view core = word.substr(0, end);
  if (core.find_first_of("b#") == std::string_view::npos || !reads_as_music(core)) {
    // Notes in a row: "G-Bb-D".
    const std::size_t dash = word.find('-');
    if (dash == std::string_view::npos || core.find_first_of("b#") == std::string_view::npos) {
      text += word;
      return;
    }
    append_word(text, word.substr(0, dash));
    text += '-';
    append_word(text, word.substr(dash + 1));
    return;
  }
  for (std::size_t i = 0; i < core.size(); ++i) {
    if (!is_sign(core, i)) {
      text += core[i];
    } else {
      text += core[i] == 'b' ? "\u266D" : "\u266F";
    }
  }
  text += word.substr(end);
}

}  // namespace

std::string with_accidental_signs(std::string_view text) {
  std::string result;
  result.reserve(text.size() + text.size() / 16);
  while (!text.empty()) {
    const std::size_t begin = std::min(text.find_first_not_of(around_words), text.size());
    result += text.substr(0, begin);
    text.remove_prefix(begin);
    const std::size_t end = std::min(text.find_first_of(around_words), text.size());
    append_word(result, text.substr(0, end));
    text.remove_prefix(end);
  }
  return result;
}

bool locale_is_utf8() {
  for (const char* variable : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    const char* const value = std::getenv(variable);
    if (value == nullptr || *value == 0) continue;
    const std::string locale = small_letters(value);
    return locale.find("utf-8") != std::string::npos || locale.find("utf8") != std::string::npos;
  }
  return false;
}

}  // namespace romanesca
