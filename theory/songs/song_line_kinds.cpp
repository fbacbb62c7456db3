#include "theory/songs/song_line_kinds.h"

#include <algorithm>
#include <array>

#include "theory/songs/song_words.h"
#include "theory/text/characters.h"

namespace romanesca {

namespace {

struct FormPhrase {
  std::string_view words;
  Jump jump;
  int mark;  // 1 fine, 2 to coda, 3 segno
};
constexpr std::array<FormPhrase, 26> form_phrases{{{"d.c. al fine", Jump::da_capo_al_fine, 0},
                                                   {"dc al fine", Jump::da_capo_al_fine, 0},
                                                   {"d. c. al fine", Jump::da_capo_al_fine, 0},
                                                   {"da capo al fine", Jump::da_capo_al_fine, 0},
                                                   {"d.c. al coda", Jump::da_capo_al_coda, 0},
                                                   {"dc al coda", Jump::da_capo_al_coda, 0},
                                                   {"da capo al coda", Jump::da_capo_al_coda, 0},
                                                   {"d.s. al fine", Jump::dal_segno_al_fine, 0},
                                                   {"ds al fine", Jump::dal_segno_al_fine, 0},
                                                   {"dal segno al fine", Jump::dal_segno_al_fine, 0},
                                                   {"d.s. al coda", Jump::dal_segno_al_coda, 0},
                                                   {"ds al coda", Jump::dal_segno_al_coda, 0},
                                                   {"dal segno al coda", Jump::dal_segno_al_coda, 0},
                                                   {"d.c.", Jump::da_capo, 0},
                                                   {"da capo", Jump::da_capo, 0},
                                                   {"d.s.", Jump::dal_segno, 0},
                                                   {"dal segno", Jump::dal_segno, 0},
                                                   {"to coda", Jump::none, 2},
                                                   {"al coda", Jump::none, 2},
                                                   {"(fine)", Jump::none, 1},
                                                   {"fine.", Jump::none, 1},
                                                   {"fine", Jump::none, 1},
                                                   {"(segno)", Jump::none, 3},
                                                   {"segno", Jump::none, 3},
                                                   {"𝄋", Jump::none, 3},
                                                   {"(to coda)", Jump::none, 2}}};

/// Takes one of them out of the line; blanks stand there then. @return false where there is none
bool take_form_mark(std::string& text, FormMarks& marks) {
  const std::string small = small_letters(text);
  for (const FormPhrase& each : form_phrases) {
    std::string_view rest = trimmed(small);
    while (!rest.empty() && (rest.back() == '.' || rest.back() == '|' || rest.back() == ' ' || rest.back() == ')' ||
                             rest.back() == ']')) {
      if (rest.ends_with(each.words)) break;
      rest.remove_suffix(1);
    }
    const bool at_start = each.mark == 3 && rest.starts_with(each.words);
    if (!rest.ends_with(each.words) && !at_start) continue;
    const std::size_t at = at_start
                               ? static_cast<std::size_t>(rest.data() - small.data())
                               : static_cast<std::size_t>(rest.data() - small.data()) + rest.size() - each.words.size();
    if (at > 0 && is_letter(small[at - 1])) continue;
    if (each.jump != Jump::none) marks.jump = each.jump;
    marks.fine = marks.fine || each.mark == 1;
    marks.to_coda = marks.to_coda || each.mark == 2;
    marks.segno = marks.segno || each.mark == 3;
    for (std::size_t i = at; i < at + each.words.size(); ++i) text[i] = ' ';
    return true;
  }
  return false;
}

}  // namespace

FormMarks take_form_marks(std::string& text) {
  FormMarks marks;
  while (take_form_mark(text, marks)) {
  }
  return marks;
}

bool is_for_guitar(std::string_view text) {
  const std::string_view line = trimmed(text);
  if (line.size() > 5 && line.find_first_not_of("0123456789-|hpbrxX/\\~()^sEADGBe: ") == std::string_view::npos &&
      std::count(line.begin(), line.end(), '-') > 3) {
    return line.find("--") != std::string_view::npos || line.find_first_of("0123456789") != std::string_view::npos;
  }
  std::size_t shapes = 0, others = 0;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t end = std::min(line.find_first_of(" \t,:=", at), line.size());
    const std::string_view word = line.substr(at, end - at);
    const bool frets = word.size() == 6 && word.find_first_not_of("0123456789xX") == std::string_view::npos;
    const bool dashed = word.size() >= 11 && word.find_first_not_of("0123456789xX-") == std::string_view::npos &&
                        std::count(word.begin(), word.end(), '-') == 5;
    if (frets || dashed) {
      ++shapes;
    } else if (!word.empty()) {
      ++others;
    }
    at = end + 1;
  }
  if (shapes > 0 && others <= shapes) return true;
  std::size_t strokes = 0;  // "D DU UDU", "down down up"
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t end = std::min(line.find_first_of(" \t", at), line.size());
    const std::string_view word = line.substr(at, end - at);
    if (word.find_first_not_of("DUdu-xX↓↑v^") != std::string_view::npos) return false;
    strokes += word.find_first_of("Uu↑↓") != std::string_view::npos ? 2 : 0;
    at = end + 1;
  }
  return strokes >= 2;
}

bool is_letter_text(std::string_view text) {
  const std::string small = folded(text);
  if (small.empty()) return false;
  if (song_word_at_start(SongWord::greeting, small) > 0) return true;
  const char last = small.back();
  const auto blanks = std::count(small.begin(), small.end(), ' ');
  return last == ':' || last == ',' || ((last == '!' || last == '?' || last == '.') && blanks > 2) || blanks > 8 ||
         small.find('@') != std::string_view::npos || small.find("http") != std::string_view::npos;
}

bool is_character(std::string_view text) {
  const std::string small = folded(text);
  std::string_view rest = small;
  while (!rest.empty()) {
    const std::size_t length = song_word_at_start(SongWord::character, rest);
    if (length == 0) return false;
    rest.remove_prefix(length);
    while (!rest.empty() && (rest.front() == ' ' || rest.front() == ',')) rest.remove_prefix(1);
  }
  return true;
}

namespace {

/// A word of a language, not a chord with a slip: small letters, or a capital and two small ones.
bool is_plain_word(std::string_view word) {
  while (!word.empty() && !is_letter(word.back()) && static_cast<unsigned char>(word.back()) < 0x80 &&
         !is_digit(word.back()) && word.back() != '#') {
    word.remove_suffix(1);
  }
  if (word.empty()) return true;
  std::size_t letters = 0;
  for (std::size_t i = 0; i < word.size(); ++i) {
    const char c = word[i];
    if (is_digit(c) || c == '#' || c == '/' || c == '(') return false;
    if (i > 0 && is_capital(c) && is_small_letter(word[i - 1])) return false;
    letters += is_letter(c) ? 1 : 0;
  }
  return letters > 2 || is_small_letter(word.front()) || word == "I" || static_cast<unsigned char>(word[0]) >= 0x80;
}

}  // namespace

const LineItem* slip_among_chords(std::string_view text, const TypedLine& typed) {
  const LineItem* first = nullptr;
  std::size_t plain = 0;
  for (const LineItem& item : typed.items) {
    if (item.kind != LineItem::Kind::word) continue;
    if (first == nullptr) first = &item;
    plain += is_plain_word(text.substr(item.at, item.length)) ? 1 : 0;
  }
  if (first == nullptr || typed.chords == 0) return nullptr;
  const bool few = typed.chords > 2 && typed.words * 3 <= typed.chords;
  const bool meant = typed.barred ? plain <= typed.chords : plain == 0 || few;
  return meant ? first : nullptr;
}

}  // namespace romanesca
