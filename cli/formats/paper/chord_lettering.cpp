#include "cli/formats/paper/chord_lettering.h"

#include <algorithm>
#include <string_view>

#include "cli/formats/paper/text_layout.h"
#include "theory/chords/chord_suffix.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

// Shares of the size of the root or numeral.
constexpr double minor_size = 0.86;   // the m after a root
constexpr double figure_size = 0.66;  // of what is raised
constexpr double figure_rise = 0.34;
constexpr double bass_size = 0.86;
constexpr double bass_drop = 0.06;
constexpr double stacked_size = 0.54;  // of alterations one over the other
constexpr double ring_size = 0.95;     // the degree sign, whose ring is high by itself

const std::string degree = "\u00B0";
const std::string half_diminished = "\u00F8";

std::string figures_with_signs(std::string_view text) {
  std::string result;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool flat = text[i] == 'b' && i + 1 < text.size() && is_digit(text[i + 1]);
    if (flat) {
      result += "\u266D";
    } else if (text[i] == '#') {
      result += "\u266F";
    } else {
      result += text[i];
    }
  }
  return result;
}

/// Takes a word off the front. @return whether it was there.
bool take(std::string_view& text, std::string_view word) {
  if (!text.starts_with(word)) return false;
  text.remove_prefix(word.size());
  return true;
}

}  // namespace

void Lettering::add(const std::string& text, double size, double raised, Face face) {
  if (text.empty()) return;
  parts_.push_back({text, width_, raised, size, face});
  width_ += text_width(text, size, face);
}

void Lettering::stack(const std::string& upper, const std::string& lower, double size, double upper_rise,
                      double lower_rise, Face face) {
  const double x = width_;
  add(upper, size, upper_rise, face);
  const double upper_end = width_;
  width_ = x;
  add(lower, size, lower_rise, face);
  width_ = std::max(width_, upper_end);
}

void Lettering::add_suffix(std::string_view suffix, double size) {
  std::string_view rest = suffix;
  if (rest.starts_with("m") && !rest.starts_with("maj")) {
    take(rest, "m");
    add("m", minor_size * size, 0, Face::bold);
  } else if (take(rest, "dim")) {
    add(degree, ring_size * size, bass_drop * size, Face::bold);
  } else if (take(rest, "aug")) {
    add("+", figure_size * size, figure_rise * size, Face::bold);
  }
  const std::size_t bracket = rest.find('(');
  const std::string_view before = rest.substr(0, bracket);
  if (!before.empty() && width_ > 0) width_ += 0.03 * size;
  add(figures_with_signs(before), figure_size * size, figure_rise * size, Face::bold);
  if (bracket == std::string_view::npos) return;
  std::string_view inner = rest.substr(bracket + 1);
  inner = inner.substr(0, inner.find(')'));
  const std::size_t comma = inner.find(',');
  width_ += 0.05 * size;
  if (comma == std::string_view::npos) {
    // One alteration follows its figure; a tone that is added to a triad, or left out, keeps its brackets.
    const bool plain = !before.empty() && is_digit(before.back()) && (inner.front() == 'b' || inner.front() == '#');
    const std::string text = figures_with_signs(inner);
    add(plain ? text : "(" + text + ")", figure_size * size, figure_rise * size, Face::bold);
    return;
  }
  // The rest after a second comma stands in the lower line.
  add("(", figure_size * size * 1.25, 0.26 * size, Face::bold);
  stack(figures_with_signs(inner.substr(comma + 1)), figures_with_signs(inner.substr(0, comma)), stacked_size * size,
        0.56 * size, 0.10 * size, Face::bold);
  add(")", figure_size * size * 1.25, 0.26 * size, Face::bold);
}

namespace {

/// German names have no signs; Do Re Mi have them behind the syllable.
std::string note_with_signs(PitchClass note, NoteNames names) {
  std::string name = name_in(note, names);
  if (names == NoteNames::english) return with_signs(name);
  if (names == NoteNames::german) return name;
  std::string signs;
  for (; name.ends_with('b') || name.ends_with('#'); name.pop_back()) signs += name.back() == 'b' ? "\u266D" : "\u266F";
  return name + signs;
}

}  // namespace

Lettering Lettering::chord(const Chord& chord, double size, NoteNames names, Ink ink) {
  Lettering made;
  made.ink_ = ink;
  made.add(note_with_signs(chord.root, names), size, 0, Face::bold);
  made.add_suffix(write_chord_suffix(chord.type), size);
  if (chord.bass != chord.root) {
    made.add("/", ring_size * size, -bass_drop * size, Face::roman);
    made.add(note_with_signs(chord.bass, names), bass_size * size, -bass_drop * size, Face::bold);
  }
  return made;
}

Lettering Lettering::words(const std::string& text, double size, Ink ink) {
  Lettering made;
  made.ink_ = ink;
  made.add(text, size, 0, Face::bold);
  return made;
}

void Lettering::add_figures(const std::string& figures, double size) {
  const bool inversion = figures == "64" || figures == "65" || figures == "43" || figures == "42";
  if (inversion) {
    width_ += 0.04 * size;
    stack(figures.substr(0, 1), figures.substr(1), 0.68 * size, 0.40 * size, -0.17 * size, Face::roman);
  } else {
    add(figures, 0.68 * size, figure_rise * size, Face::roman);
  }
}

/// One numeral without what it is applied to.
void Lettering::add_numeral(std::string_view text, double size) {
  std::string signs;
  while (text.starts_with("b") || text.starts_with("#")) {
    signs += text.front() == 'b' ? "\u266D" : "\u266F";
    text.remove_prefix(1);
  }
  const std::size_t letters = std::min(text.find_first_not_of("iIvV"), text.size());
  std::string body(text.substr(0, letters));
  text.remove_prefix(letters);
  if (body.empty()) {
    // N6, Ger65, Cad64, or a number: 5, 6m, 27
    const std::size_t end = std::min(text.find_first_of("0123456789"), text.size());
    const std::size_t taken = end == 0 ? std::min<std::size_t>(1, text.size()) : end;
    body = std::string(text.substr(0, taken));
    text.remove_prefix(taken);
  }
  add(signs + body, size, 0, Face::roman);
  if (take(text, "o") || take(text, degree)) {
    add(degree, ring_size * size, 0.03 * size, Face::roman);
  } else if (take(text, half_diminished)) {
    add(half_diminished, 0.7 * size, 0.30 * size, Face::roman);
  } else if (take(text, "+")) {
    add("+", 0.7 * size, 0.30 * size, Face::roman);
  }
  std::size_t figures = 0;
  while (figures < text.size() && is_digit(text[figures])) ++figures;
  const bool whole = figures == text.size();
  if (figures > 0 && whole) {
    add_figures(std::string(text), size);
  } else {
    add(figures_with_signs(text), 0.68 * size, figure_rise * size, Face::roman);
  }
}

Lettering Lettering::numeral(const std::string& numeral, double size, Ink ink) {
  Lettering made;
  made.ink_ = ink;
  made.role_ = TextRole::numeral;
  made.kind_ = MarkKind::numeral;
  for (std::size_t at = 0; at <= numeral.size();) {
    std::size_t end = std::min(numeral.find('/', at), numeral.size());
    // "6/9" within a suffix is no applied chord.
    if (end + 1 < numeral.size() && numeral[end + 1] == '9') end = std::min(numeral.find('/', end + 1), numeral.size());
    if (at > 0) made.add("/", size, 0, Face::roman);
    made.add_numeral(std::string_view(numeral).substr(at, end - at), size);
    at = end + 1;
  }
  return made;
}

void Lettering::put(std::vector<Mark>& marks, double x, double baseline, int group) const {
  if (group == 0) group = next_group(marks);
  for (const Part& part : parts_) {
    marks.push_back(text_at(x + part.x, baseline - part.raised, part.text, {part.size, part.face, ink_, role_, kind_}));
    marks.back().group = group;
  }
}

}  // namespace romanesca
