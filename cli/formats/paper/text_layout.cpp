#include "cli/formats/paper/text_layout.h"

#include <algorithm>
#include <iterator>
#include <utility>

#include "cli/formats/paper/shaped_text.h"
#include "theory/chords/chord.h"
#include "theory/chords/numeral_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

constexpr std::string_view flat_sign = "\u266D";
constexpr std::string_view sharp_sign = "\u266F";

Mark placed_text(double x, double baseline, std::string text, const TextStyle& style) {
  const ShapedText& shape = shaped(text, style.face);
  const double size = style.size;
  TextMark mark{std::move(text), x, baseline, size, style.face, style.ink, style.role, shape.advance * size, {}};
  mark.box = {x + shape.ink.x * size, baseline + shape.ink.y * size, shape.ink.width * size, shape.ink.height * size};
  return {std::move(mark), style.kind, 0};
}

/// Every b before a figure, and every #, as a sign; at the start also those after a capital.
std::string signs_in_symbol(std::string_view symbol) {
  std::string text;
  for (std::size_t i = 0; i < symbol.size(); ++i) {
    const bool after_root = i > 0 && symbol[i - 1] >= 'A' && symbol[i - 1] <= 'G';
    const bool doubled = i > 1 && symbol[i - 1] == symbol[i] && symbol[i - 2] >= 'A' && symbol[i - 2] <= 'G';
    const bool before_figure = i + 1 < symbol.size() && is_digit(symbol[i + 1]);
    const bool before_numeral =
        i + 1 < symbol.size() && std::string_view("iIvVb#").find(symbol[i + 1]) != std::string_view::npos;
    if (symbol[i] == '#') {
      text += sharp_sign;
    } else if (symbol[i] == 'b' && (after_root || doubled || before_figure || before_numeral)) {
      text += flat_sign;
    } else {
      text += symbol[i];
    }
  }
  return text;
}

/// A word of a sentence that means notes or chords: a note name with accidental, a chord symbol with one, a numeral
/// with one. Plain words are none: "add", "Dad", "be".
bool is_symbol(std::string_view word) {
  if (word.find_first_of("b#") == std::string_view::npos) return false;
  return parse_pitch_class(word) || parse_pitch(word) || parse_chord(word) || parse_roman(word);
}

}  // namespace

double text_width(const std::string& text, double size, Face face) { return shaped(text, face).advance * size; }

Mark text_at(double x, double baseline, std::string text, const TextStyle& style) {
  return placed_text(x, baseline, std::move(text), style);
}

Mark text_ending(double x, double baseline, std::string text, const TextStyle& style) {
  const double width = text_width(text, style.size, style.face);
  return placed_text(x - width, baseline, std::move(text), style);
}

Mark text_centred(double x, double baseline, std::string text, const TextStyle& style) {
  const double width = text_width(text, style.size, style.face);
  return placed_text(x - width / 2, baseline, std::move(text), style);
}

std::vector<std::string> lines_within(const std::string& text, double width, double size, Face face) {
  std::vector<std::string> lines;
  std::string line;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, end - at);
    const std::string longer = line.empty() ? word : line + " " + word;
    if (!line.empty() && text_width(longer, size, face) > width) {
      lines.push_back(std::move(line));
      line = word;
    } else {
      line = longer;
    }
    at = end + 1;
  }
  if (!line.empty()) lines.push_back(std::move(line));
  return lines;
}

std::string shortened(const std::string& text, double width, double size, Face face) {
  width += 1e-6;  // a size that was chosen to fill the width exactly
  if (text_width(text, size, face) <= width) return text;
  const std::string dots = "\u2026";
  std::vector<std::size_t> ends{0};  // of the characters, in bytes
  for (std::size_t at = 1; at <= text.size(); ++at) {
    if (at == text.size() || begins_code_point(text[at])) ends.push_back(at);
  }
  const auto fits = [&](std::size_t end) { return text_width(text.substr(0, end) + dots, size, face) <= width; };
  const auto too_long = std::partition_point(ends.begin() + 1, ends.end(), fits);
  return text.substr(0, *std::prev(too_long)) + dots;
}

std::string with_signs(const std::string& name) {
  std::size_t end = 1;
  std::string text = name.substr(0, 1);
  for (; end < name.size() && (name[end] == 'b' || name[end] == '#'); ++end) {
    text += name[end] == 'b' ? flat_sign : sharp_sign;
  }
  return text + (end < name.size() ? name.substr(end) : "");
}

std::string sentence_with_signs(const std::string& text) {
  constexpr std::string_view ends = " ,.;:!?()\"\n|";
  std::string result;
  for (std::size_t at = 0; at < text.size();) {
    std::size_t end = std::min(text.find_first_of(ends, at), text.size());
    if (end == at) {
      result += text[at++];
      continue;
    }
    const std::string_view word = std::string_view(text).substr(at, end - at);
    result += is_symbol(word) ? signs_in_symbol(word) : std::string(word);
    at = end;
  }
  return result;
}

}  // namespace romanesca
