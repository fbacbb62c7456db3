#include "theory/chords/numeral_text.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cstdlib>

#include "theory/chords/chord_suffix.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

using namespace intervals;

struct Reader {
  std::string_view rest;
  bool take(std::string_view word) {
    if (!rest.starts_with(word)) return false;
    rest.remove_prefix(word.size());
    return true;
  }
};

/// A whole number that is all of the text; 0 for anything else.
int read_number(std::string_view text) {
  int number = 0;
  for (const char c : text) {
    if (!is_digit(c) || number > 99) return 0;
    number = 10 * number + (c - '0');
  }
  return number;
}

/// accidental = { "b" } | { "#" } | "-"
int read_accidental(Reader& reader) {
  int accidental = 0;
  while (accidental >= 0 && accidental < 2 && reader.take("#")) ++accidental;
  while (accidental <= 0 && accidental > -2 && (reader.take("b") || reader.take("-"))) --accidental;
  return accidental;
}

/// degree = accidental ( "I" ... "VII" | "i" ... "vii" )
std::optional<ScaleDegree> read_roman_degree(Reader& reader) {
  constexpr std::array<std::string_view, 7> longest_first{"VII", "III", "VI", "IV", "II", "V", "I"};
  constexpr std::array<int, 7> number{7, 3, 6, 4, 2, 5, 1};
  const Reader start = reader;
  ScaleDegree degree;
  degree.accidental = read_accidental(reader);
  for (std::size_t i = 0; i < longest_first.size(); ++i) {
    degree.number = number[i];
    degree.upper = reader.take(longest_first[i]);
    if (degree.upper || reader.take(small_letters(longest_first[i]))) return degree;
  }
  reader = start;  // an accidental alone is no degree
  return std::nullopt;
}

/// number degree = accidental "1" ... "7"
std::optional<ScaleDegree> read_number_degree(Reader& reader) {
  ScaleDegree degree;
  degree.accidental = read_accidental(reader);
  if (reader.rest.empty() || reader.rest.front() < '1' || reader.rest.front() > '7') return std::nullopt;
  degree.number = reader.rest.front() - '0';
  reader.rest.remove_prefix(1);
  return degree;
}

struct Figure {
  std::string_view text;
  int inversion;
  bool seventh;
};
constexpr std::array<Figure, 11> figures{{{"6/5", 1, true},
                                          {"65", 1, true},
                                          {"4/3", 2, true},
                                          {"43", 2, true},
                                          {"4/2", 3, true},
                                          {"42", 3, true},
                                          {"2", 3, true},
                                          {"6/4", 2, false},
                                          {"64", 2, false},
                                          {"6", 1, false},
                                          {"53", 0, false}}};

/// A figure is followed by nothing, by brackets, or before a slash: the 6 of "69" or "6sus4" is no figure.
std::optional<Figure> read_figure(Reader& reader) {
  if (reader.rest.starts_with("69") || reader.rest.starts_with("6/9")) return std::nullopt;
  for (const Figure& figure : figures) {
    Reader trial = reader;
    if (!trial.take(figure.text)) continue;
    const bool ends =
        trial.rest.empty() || trial.rest.front() == '/' || trial.rest.front() == '(' || trial.rest.front() == '[';
    if (!ends) continue;
    reader = trial;
    return figure;
  }
  return std::nullopt;
}

/// Up to the slash of an applied chord or a bass degree: the chord's own suffix may hold the slash of 6/9.
std::string_view take_suffix(Reader& reader) {
  std::size_t end = 0;
  int depth = 0;
  for (; end < reader.rest.size(); ++end) {
    const char c = reader.rest[end];
    depth += c == '(' || c == '[' ? 1 : c == ')' || c == ']' ? -1 : 0;
    if (c == '/' && depth <= 0 && !reader.rest.substr(end).starts_with("/9")) break;
  }
  const std::string_view suffix = reader.rest.substr(0, end);
  reader.rest.remove_prefix(end);
  return suffix;
}

/// changes = { "[" ( "add" accidental number | "no" number ) "]" }, behind the chord's name and before any slash.
/// Takes them out of the text; a bracket of another kind stays, for it may be part of the name: "V9[b9]".
std::string take_changes(std::string_view text, ShortList<ToneChange, 8>& changes) {
  std::string rest;
  while (!text.empty()) {
    const std::size_t close = text.find(']');
    Reader inside{text.substr(0, close)};
    ToneChange change;
    bool is_change = close != std::string_view::npos && inside.take("[");
    if (is_change && inside.take("add")) {
      change.accidental = read_accidental(inside);
    } else if (is_change && inside.take("no")) {
      change.adds = false;
    } else {
      is_change = false;
    }
    const int number = is_change ? read_number(inside.rest) : 0;
    if (number >= 1 && number <= 13 && !changes.full()) {
      change.number = static_cast<std::int8_t>(number);
      changes.push_back(change);
      text.remove_prefix(close + 1);
    } else {
      rest += text.front();
      text.remove_prefix(1);
    }
  }
  return rest;
}

/// quality and figures after a degree: "o7", "ø65", "+6", "maj7", "7", "64", "sus4", "add9", ...
bool read_chord(Reader& reader, Numeral& numeral) {
  std::string quality = numeral.root.upper ? "" : "m";
  if (reader.take("/o") || reader.take("ø") || reader.take("0") || reader.take("/°")) {
    quality = "ø";
  } else if ((!reader.rest.starts_with("omit") && reader.take("o")) || reader.take("°") || reader.take("dim")) {
    quality = "o";
  } else if (reader.take("+") || reader.take("aug")) {
    quality = "+";
  }
  Reader trial = reader;
  std::string seventh = "7";
  if (trial.take("maj") || trial.take("M")) {
    seventh = "maj7";
  } else if (trial.take("d")) {
    seventh = "7";
  }
  const auto figure = read_figure(trial);
  if (reader.rest == "54" || reader.rest.starts_with("54/")) {  // a fifth and a fourth over the bass: 5-3 suspended
    reader.take("54");
    quality = "sus4";
  } else if (figure) {
    if (!figure->seventh && trial.rest.data() != reader.rest.data() + figure->text.size()) return false;
    reader = trial;
    numeral.inversion = figure->inversion;
    if (figure->seventh) quality += seventh;
    if (quality == "ø" && !figure->seventh) quality = "o";
  } else if (reader.rest.starts_with("d7")) {
    reader.take("d");
  }
  if (quality == "ø" && (reader.rest.empty() || reader.rest.front() == '/')) quality = "o";
  // "ia7" and "iin7" are refused: with the m of the small numeral they would become "ma7" and "min7".
  const bool added = reader.rest.starts_with("add") || reader.rest.starts_with("alt");
  if (quality == "m" && !added && (reader.rest.starts_with("a") || reader.rest.starts_with("i"))) return false;
  if (quality == "m" && reader.rest.starts_with("5")) quality.clear();  // "i5": no third to be minor
  const std::string suffix = quality + std::string(take_suffix(reader));
  const auto type = parse_chord_suffix(suffix);
  if (!type) return false;
  numeral.type = *type;
  return true;
}

/// tail = { "/" degree } | "/" number
bool read_tail(Reader& reader, Numeral& numeral) {
  while (!reader.rest.empty()) {
    if (!reader.take("/")) return false;
    if (const auto target = read_roman_degree(reader)) {
      if (numeral.applied_to.full()) return false;
      numeral.applied_to.push_back(*target);
    } else if (!numeral.bass) {
      numeral.bass = read_number_degree(reader);
      return numeral.bass && reader.rest.empty();
    } else {
      return false;
    }
  }
  return true;
}

struct NamedForm {
  std::string_view text;
  NamedChord named;
  int inversion;
};
/// Bare and usual figures; an augmented sixth has its sixth in the bass with any figure but 43 and 42.
constexpr std::array<NamedForm, 20> named_forms{
    {{"N6/4", NamedChord::neapolitan, 2},     {"N64", NamedChord::neapolitan, 2},    {"N6", NamedChord::neapolitan, 1},
     {"N", NamedChord::neapolitan, 0},        {"It64", NamedChord::italian, 1},      {"It6", NamedChord::italian, 0},
     {"It", NamedChord::italian, 0},          {"Fr4/3", NamedChord::french, 0},      {"Fr43", NamedChord::french, 0},
     {"Fr6", NamedChord::french, 0},          {"Fr", NamedChord::french, 0},         {"Ger6/5", NamedChord::german, 0},
     {"Ger65", NamedChord::german, 0},        {"Ger43", NamedChord::german, 1},      {"Ger42", NamedChord::german, 2},
     {"Ger7", NamedChord::german, 3},         {"Ger6", NamedChord::german, 0},       {"Ger", NamedChord::german, 0},
     {"Cad6/4", NamedChord::cadential_64, 2}, {"Cad64", NamedChord::cadential_64, 2}}};

std::string_view figure_text(int inversion, bool seventh) {
  constexpr std::array<std::string_view, 3> triad_figures{"", "6", "64"};
  constexpr std::array<std::string_view, 4> seventh_figures{"7", "65", "43", "42"};
  const auto index = static_cast<std::size_t>(inversion);
  return seventh ? seventh_figures[std::min<std::size_t>(index, 3)] : triad_figures[std::min<std::size_t>(index, 2)];
}

/// A chord that a figure alone can name: the sign before the figure, and what follows in brackets where the third
/// is suspended. Without a sign the third is major after a capital numeral and minor after a small one.
struct FiguredChord {
  ChordType type;
  std::string_view sign;
  std::string_view suspension;
};
constexpr std::array<FiguredChord, 16> figured_chords{
    {{chord_types::major, "", ""},
     {chord_types::minor, "", ""},
     {chord_types::diminished, "o", ""},
     {chord_types::augmented, "+", ""},
     {{unison, major_second, perfect_fifth}, "", "sus2"},
     {{unison, perfect_fourth, perfect_fifth}, "", "sus4"},
     {chord_types::dominant_seventh, "", ""},
     {{unison, minor_third, perfect_fifth, minor_seventh}, "", ""},
     {{unison, major_third, perfect_fifth, major_seventh}, "maj", ""},
     {{unison, minor_third, perfect_fifth, major_seventh}, "maj", ""},
     {{unison, minor_third, diminished_fifth, minor_seventh}, "ø", ""},
     {{unison, minor_third, diminished_fifth, diminished_seventh}, "o", ""},
     {{unison, major_third, augmented_fifth, minor_seventh}, "+", ""},
     {{unison, major_third, augmented_fifth, major_seventh}, "+maj", ""},
     {{unison, major_second, perfect_fifth, minor_seventh}, "", "sus2"},
     {{unison, perfect_fourth, perfect_fifth, minor_seventh}, "", "sus4"}}};

/// Whether sign and case together say the chord's third.
bool third_is_said(const FiguredChord& chord, bool upper) {
  const bool sign_says = !chord.sign.empty() && chord.sign != "maj";
  return sign_says || !chord.type.has_third() || chord.type.has(upper ? major_third : minor_third);
}

/// The sign and figure of the chord that the type is nearest to, and what it has beyond that in brackets: "65(b9)",
/// "6(add9)". Every type that the reader accepts after a figure is near one.
std::string figured_text(ChordType type, int inversion, bool upper) {
  std::string best;
  std::size_t fewest = 99;
  for (const FiguredChord& chord : figured_chords) {
    if (chord.type.has_seventh() != type.has_seventh() || !third_is_said(chord, upper)) continue;
    auto words = modifiers_between(chord.type, type);
    if (!words) continue;
    if (!chord.suspension.empty()) words->insert(words->begin(), std::string(chord.suspension));
    if (words->size() >= fewest) continue;
    fewest = words->size();
    best = fmt::format("{}{}", chord.sign, figure_text(inversion, type.has_seventh()));
    if (!words->empty()) best += fmt::format("({})", fmt::join(*words, ","));
  }
  return best;
}

/// What follows the degree: quality sign, figures, further tones.
std::string suffix_text(ChordType type, int inversion, bool upper) {
  const bool major_on_small = !upper && type.has(major_third) && type != chord_types::augmented;
  if (inversion > 0 || major_on_small) return figured_text(type, inversion, upper);
  if (type == ChordType{unison, minor_third, diminished_fifth, minor_seventh}) return "ø7";
  if (type == ChordType{unison, minor_third, diminished_fifth, diminished_seventh}) return "o7";
  if (type == chord_types::diminished) return "o";
  if (type == chord_types::augmented) return "+";
  std::string symbol = write_chord_suffix(type);
  if (!upper && type.is_minor() && symbol.starts_with("m") && !symbol.starts_with("maj")) symbol.erase(0, 1);
  if (symbol == "6" || symbol.starts_with("6(")) symbol = "add" + symbol;  // a lone 6 is a figure
  return symbol;
}

}  // namespace

std::optional<Numeral> parse_roman(std::string_view text) {
  Numeral numeral;
  const std::string bare = take_changes(text, numeral.changes);
  Reader reader{bare};
  for (const NamedForm& form : named_forms) {
    Reader trial = reader;
    if (!trial.take(form.text) || !(trial.rest.empty() || trial.rest.front() == '/')) continue;
    numeral.named = form.named;
    numeral.inversion = form.inversion;
    if (!read_tail(trial, numeral) || numeral.bass) return std::nullopt;
    return numeral;
  }
  const auto degree = read_roman_degree(reader);
  if (!degree) return std::nullopt;
  numeral.root = *degree;
  if (!read_chord(reader, numeral) || !read_tail(reader, numeral)) return std::nullopt;
  if (numeral.inversion >= static_cast<int>(numeral.type.tones().size())) return std::nullopt;
  return numeral;
}

std::optional<Numeral> parse_number(std::string_view text) {
  Reader reader{text};
  const auto degree = read_number_degree(reader);
  if (!degree) return std::nullopt;
  Numeral numeral;
  numeral.root = *degree;
  numeral.as_number = true;
  const auto type = parse_chord_suffix(take_suffix(reader));
  if (!type) return std::nullopt;
  numeral.type = *type;
  numeral.root.upper = !type->is_minor();
  if (!reader.rest.empty()) {
    reader.take("/");
    numeral.bass = read_number_degree(reader);
    if (!numeral.bass || !reader.rest.empty()) return std::nullopt;
  }
  return numeral;
}

std::string to_string(const ScaleDegree& degree, bool as_number) {
  constexpr std::array<std::string_view, 7> upper{"I", "II", "III", "IV", "V", "VI", "VII"};
  constexpr std::array<std::string_view, 7> lower{"i", "ii", "iii", "iv", "v", "vi", "vii"};
  const auto index = static_cast<std::size_t>(degree.number - 1);
  std::string text(static_cast<std::size_t>(std::abs(degree.accidental)), degree.accidental > 0 ? '#' : 'b');
  if (as_number) return text + std::to_string(degree.number);
  return text + std::string(degree.upper ? upper[index] : lower[index]);
}

std::string to_string(const Numeral& numeral) {
  std::string text;
  if (numeral.named != NamedChord::none) {
    for (const NamedForm& form : named_forms) {
      if (form.named == numeral.named && form.inversion == numeral.inversion) {
        text = form.text.find('/') == std::string_view::npos ? form.text : text;
        if (!text.empty()) break;
      }
    }
  } else if (numeral.as_number) {
    text = to_string(numeral.root, true) + write_chord_suffix(numeral.type);
  } else {
    text = to_string(numeral.root) + suffix_text(numeral.type, numeral.inversion, numeral.root.upper);
  }
  for (const ToneChange& change : numeral.changes) {
    const std::string sign(static_cast<std::size_t>(std::abs(change.accidental)), change.accidental > 0 ? '#' : 'b');
    text += fmt::format("[{}{}{}]", change.adds ? "add" : "no", sign, change.number);
  }
  for (const ScaleDegree& target : numeral.applied_to) text += "/" + to_string(target);
  if (numeral.bass) text += "/" + to_string(*numeral.bass, true);
  return text;
}

}  // namespace romanesca
