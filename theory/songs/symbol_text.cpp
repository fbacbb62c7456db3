#include "theory/songs/symbol_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>

#include "theory/chords/numeral_text.h"
#include "theory/text/characters.h"

namespace romanesca {

std::string plain_symbol(std::string_view token) {
  if (std::all_of(token.begin(), token.end(), [](char c) { return static_cast<unsigned char>(c) < 0x80; }))
    return std::string(token);
  struct Sign {
    std::string_view written, plain;
  };
  constexpr std::array<Sign, 11> signs{{{"♭", "b"},
                                        {"♯", "#"},
                                        {"♮", ""},
                                        {"𝄫", "bb"},
                                        {"𝄪", "##"},
                                        {"–", "-"},
                                        {"−", "-"},
                                        {"‑", "-"},
                                        {"º", "°"},
                                        {"Ø", "ø"},
                                        {"△", "Δ"}}};
  std::string result;
  while (!token.empty()) {
    const auto sign =
        std::find_if(signs.begin(), signs.end(), [&](const Sign& each) { return token.starts_with(each.written); });
    if (sign != signs.end()) {
      result += sign->plain;
      token.remove_prefix(sign->written.size());
    } else {
      result += token.front();
      token.remove_prefix(1);
    }
  }
  return result;
}

std::optional<Symbol> parse_symbol(std::string_view token) {
  constexpr std::size_t longest = 64;
  if (token.size() > longest) return std::nullopt;
  const std::string plain = plain_symbol(token);
  if (const auto chord = parse_chord(plain)) return *chord;
  if (const auto roman = parse_roman(plain)) return *roman;
  if (const auto number = parse_number(plain)) return *number;
  return std::nullopt;
}

bool is_no_chord(std::string_view token) {
  if (token.empty() || (token.front() != 'N' && token.front() != 'n')) return false;
  return token == "N.C." || token == "NC" || token == "N.C" || token == "n.c." || token == "nc";
}

Notation notation_of(const Symbol& symbol) {
  const auto* numeral = std::get_if<Numeral>(&symbol);
  if (numeral == nullptr) return Notation::absolute;
  return numeral->as_number ? Notation::number : Notation::roman;
}

std::string to_string(const Symbol& symbol) {
  if (const auto* chord = std::get_if<Chord>(&symbol)) return to_string(*chord);
  return to_string(std::get<Numeral>(symbol));
}

std::string_view to_string(Notation notation) {
  switch (notation) {
    case Notation::absolute:
      return "a chord symbol";
    case Notation::roman:
      return "a Roman numeral";
    case Notation::number:
      return "a number";
  }
  return "";
}

namespace {

/// Smaller is likelier: the row of the chord's type in the table, after a penalty for touching the root. Nothing for a
/// candidate that is no chord.
std::optional<int> rank(const std::string& candidate, std::string_view token, int penalty) {
  const auto symbol = parse_symbol(candidate);
  if (!symbol || candidate.empty()) return std::nullopt;
  const auto* chord = std::get_if<Chord>(&*symbol);
  if (chord != nullptr && std::abs(chord->root.alteration()) > 1)
    return std::nullopt;  // a double sharp is not what was meant
  const ChordType type = chord != nullptr ? chord->type : std::get<Numeral>(*symbol).type;
  const auto rows = chord_type_rows();
  const auto row = std::find_if(rows.begin(), rows.end(), [&](const ChordTypeRow& each) { return each.type == type; });
  const int kind = notation_of(*symbol) == Notation::number ? 200 : 0;
  const bool root_kept = candidate.front() == token.front();
  return static_cast<int>(row - rows.begin()) + penalty + kind + (root_kept ? 0 : 30);
}

/// Whether somebody who wrote the token can have meant the candidate: the same letter, in either case, or H for B, or a
/// sign too many before it.
bool keeps_root(std::string_view candidate, std::string_view token) {
  const auto plain = [](char c) { return is_letter(c) || is_digit(c); };
  if (std::none_of(token.begin(), token.end(), plain)) return false;
  if (same_letter(candidate.front(), token.front()) || same_letter(token.front(), 'h')) return true;
  return !plain(token.front()) && candidate == token.substr(1);
}

}  // namespace

std::string suggest_symbol(std::string_view token) {
  constexpr std::string_view alphabet = "ABCDEFGIVbdgijmosuv#+-/0123456789()";
  std::string plain = plain_symbol(token);
  if (plain.empty() || plain.size() > 16) return {};
  std::string best;
  int best_rank = 1000;
  const auto offer = [&](const std::string& candidate, int penalty) {
    const auto found = rank(candidate, plain, penalty);
    if (candidate == plain || !found || *found >= best_rank || !keeps_root(candidate, plain)) return;
    best_rank = *found;
    best = candidate;
  };
  for (std::size_t i = 0; i < plain.size(); ++i) {  // the German name, of a bass too
    if (plain[i] == 'H' || (plain[i] == 'h' && i == 0)) offer(plain.substr(0, i) + "B" + plain.substr(i + 1), -100);
  }
  offer(capital(plain.front()) + plain.substr(1), -90);
  for (std::size_t i = 0; i <= plain.size(); ++i) {
    if (i < plain.size()) {
      offer(plain.substr(0, i) + plain.substr(i + 1), 10);
      if (i + 1 < plain.size()) {
        std::string swapped = plain;
        std::swap(swapped[i], swapped[i + 1]);
        offer(swapped, 0);
      }
    }
    for (const char letter : alphabet) {
      if (i < plain.size()) offer(plain.substr(0, i) + letter + plain.substr(i + 1), 15);
      offer(plain.substr(0, i) + letter + plain.substr(i), 20);
    }
  }
  return best;
}

TextError unknown_chord(std::string_view token) {
  TextError error{fmt::format("unknown chord \"{}\"", token), "write chords like C, F#m7, Bb/D, or numerals like vi7"};
  const std::string near = suggest_symbol(token);
  if (token.find_first_not_of("0123456789") == std::string_view::npos) {
    error.hint = "the numbers are 1 to 7, the degrees of the key";
  } else if (!near.empty()) {
    error.hint = fmt::format("did you mean {}?", near);
  }
  return error;
}

}  // namespace romanesca
