#include "theory/songs/chord_names.h"

#include <algorithm>
#include <array>
#include <cstdlib>

#include "theory/chords/chord_suffix.h"
#include "theory/chords/numeral_text.h"
#include "theory/songs/header_text.h"
#include "theory/songs/song_words.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// A note's name at the start of a text.
struct NamedRoot {
  std::string english;   ///< "F#"
  std::size_t length{};  ///< bytes that it took
  bool small = false;    ///< began with a small letter
};

/// sharps or flats in signs: "#", "bb". @return them as signs, and adds their length
std::string read_signs(std::string_view text, std::size_t& length) {
  std::string signs;
  while (signs.size() < 2 && length < text.size() && (text[length] == '#' || text[length] == 'b') &&
         (signs.empty() || signs.front() == text[length])) {
    signs += text[length++];
  }
  return signs;
}

std::optional<NamedRoot> english_root(std::string_view text) {
  if (text.empty() || small_letter(text.front()) < 'a' || small_letter(text.front()) > 'g') return std::nullopt;
  NamedRoot root{std::string(1, capital(text.front())), 1, is_small_letter(text.front())};
  root.english += read_signs(text, root.length);
  return root;
}

/// German names (DIN 1330 has none; as in German song books, common practice, no source).
std::optional<NamedRoot> german_root(std::string_view text) {
  if (text.empty() || small_letter(text.front()) < 'a' || small_letter(text.front()) > 'h') return std::nullopt;
  NamedRoot root{std::string(1, capital(text.front())), 1, is_small_letter(text.front())};
  const std::string_view after = text.substr(1);
  const char letter = root.english.front();
  if (letter == 'H') root.english = "B";
  if (after.starts_with("is")) {
    root.english += '#';
    root.length += 2;
  } else if (after.starts_with("es") && letter != 'H' && letter != 'B') {
    root.english += 'b';
    root.length += 2;
  } else if ((letter == 'A' || letter == 'E') && after.starts_with('s') && !after.starts_with("sus")) {
    root.english += 'b';
    root.length += 1;
  } else {
    root.english += read_signs(text, root.length);
    if (letter == 'B' && root.length == 1) root.english = "Bb";
  }
  return root;
}

std::optional<NamedRoot> solfege_root(std::string_view text) {
  struct Syllable {
    std::string_view name;
    char letter;
  };
  constexpr std::array<Syllable, 9> syllables{{{"sol", 'G'},
                                               {"do", 'C'},
                                               {"re", 'D'},
                                               {"ré", 'D'},
                                               {"mi", 'E'},
                                               {"fa", 'F'},
                                               {"la", 'A'},
                                               {"si", 'B'},
                                               {"ut", 'C'}}};
  for (const Syllable& each : syllables) {
    if (text.size() < each.name.size()) continue;
    const std::string_view start = text.substr(0, each.name.size());
    const bool same = std::equal(start.begin(), start.end(), each.name.begin(), same_letter);
    if (!same) continue;
    NamedRoot root{std::string(1, each.letter), each.name.size(), false};
    root.english += read_signs(text, root.length);
    return root;
  }
  return std::nullopt;
}

std::optional<NamedRoot> read_root(std::string_view text, NoteNames names) {
  switch (names) {
    case NoteNames::german:
      return german_root(text);
    case NoteNames::solfege:
      return solfege_root(text);
    case NoteNames::english:
      break;
  }
  return english_root(text);
}

/// The suffix in the forms that parse_chord_suffix reads: "dom7" as 7, "^" as a triangle, words in small letters.
std::string plain_suffix(std::string_view suffix) {
  std::string text;
  for (std::size_t i = 0; i < suffix.size(); ++i) {
    const std::string_view rest = suffix.substr(i);
    if (rest.front() == '^') {
      text += "Δ";
    } else if (small_letters(rest.substr(0, 3)) == "dom") {
      i += 2;
    } else {
      text += rest.front();
    }
  }
  constexpr std::array<std::string_view, 6> words{"MAJ", "MIN", "SUS", "DIM", "AUG", "ADD"};
  constexpr std::array<std::string_view, 6> titled{"Min", "Sus", "Dim", "Aug", "Add", "Mi7"};
  const auto has = [&](std::string_view word) { return text.find(word) != std::string_view::npos; };
  if (std::any_of(words.begin(), words.end(), has) || std::any_of(titled.begin(), titled.end(), has)) {
    text = small_letters(text);
  }
  return text;
}

/// Whether a suffix says itself that the chord is no major triad, so that a small letter adds nothing.
bool tells_third(std::string_view suffix) {
  constexpr std::array<std::string_view, 9> starts{"m", "-", "dim", "°", "o", "ø", "sus", "aug", "+"};
  return std::any_of(starts.begin(), starts.end(), [&](std::string_view each) { return suffix.starts_with(each); });
}

/// "-Moll", " moll", "-Dur" at the end, taken away. @return whether it was minor
std::optional<bool> take_mode_word(std::string_view& text) {
  for (const auto& [word, is_minor] : {std::pair{std::string_view("moll"), true}, {std::string_view("dur"), false}}) {
    if (text.size() <= word.size()) continue;
    const std::string_view end = text.substr(text.size() - word.size());
    if (!std::equal(end.begin(), end.end(), word.begin(), same_letter)) continue;
    text.remove_suffix(word.size());
    while (!text.empty() && (text.back() == '-' || text.back() == ' ')) text.remove_suffix(1);
    return is_minor;
  }
  return std::nullopt;
}

std::optional<Symbol> read_named_chord(std::string_view token, const ChordHabit& habit) {
  std::string_view text = token;
  const std::optional<bool> says_minor = take_mode_word(text);
  const auto root = read_root(text, habit.names);
  if (!root) return std::nullopt;
  if (root->small && habit.small == SmallLetters::refused && !says_minor) return std::nullopt;
  std::string suffix = plain_suffix(text.substr(root->length));
  if (root->small && suffix == "o") return std::nullopt;  // "go" and "do" are words
  std::string bass;
  if (const std::size_t slash = suffix.rfind('/'); slash != std::string_view::npos) {
    const auto below = read_root(std::string_view(suffix).substr(slash + 1), habit.names);
    if (below && slash + 1 + below->length == suffix.size()) {
      bass = "/" + below->english;
      suffix.resize(slash);
    }
  }
  const bool small_minor = root->small && habit.small == SmallLetters::minor && !tells_third(suffix);
  if (says_minor.value_or(small_minor)) suffix.insert(0, "m");
  const auto chord = parse_chord(root->english + suffix + bass);
  if (!chord) return std::nullopt;
  return Symbol{*chord};
}

}  // namespace

std::optional<Symbol> read_typed_chord(std::string_view token, const ChordHabit& habit) {
  constexpr std::size_t longest = 64;
  if (token.empty() || token.size() > longest) return std::nullopt;
  std::string plain = plain_symbol(token);
  while (plain.size() > 1 && (plain.back() == '*' || plain.back() == '\'')) plain.pop_back();
  if (habit.notation == Notation::absolute) return read_named_chord(plain, habit);
  if (habit.notation == Notation::roman) {
    if (const auto roman = parse_roman(plain)) return *roman;
    return std::nullopt;
  }
  if (const auto number = parse_number(plain)) return *number;
  return std::nullopt;
}

std::optional<KeyText> read_typed_key(std::string_view text, NoteNames names) {
  std::string plain = plain_symbol(trimmed(text));
  std::string_view rest = plain;
  const std::optional<bool> says_minor = take_mode_word(rest);
  if (names != NoteNames::english || says_minor) {
    const NoteNames used = says_minor && names == NoteNames::english ? NoteNames::german : names;
    const auto root = read_root(rest, used);
    if (root) {
      const std::string_view after = rest.substr(root->length);
      const bool small_minor = used == NoteNames::german && root->small && after.empty();
      if (after.empty() && (says_minor || small_minor)) {
        return parse_written_key(root->english + (says_minor.value_or(true) ? " minor" : " major"));
      }
      std::string mode = folded(after);
      for (const auto& [local, english] : {std::pair{"maggiore", "major"},
                                           {"minore", "minor"},
                                           {"majeur", "major"},
                                           {"mineur", "minor"},
                                           {"mayor", "major"},
                                           {"menor", "minor"}}) {
        if (trimmed(mode) == local) mode = std::string(" ") + english;
      }
      if (const auto key = parse_written_key(root->english + mode)) return key;
    }
  }
  if (names == NoteNames::solfege) return std::nullopt;
  return parse_written_key(plain);
}

}  // namespace romanesca
