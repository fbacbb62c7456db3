#include "cli/formats/keyboard_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

constexpr std::size_t key_width = 5;

/// A name in the middle of so many columns.
std::string centred(const std::string& name, std::size_t width) {
  const std::size_t left = (width - std::min(width, name.size())) / 2;
  std::string text = std::string(left, ' ') + name;
  text.resize(std::max(width, text.size()), ' ');
  return text;
}

std::string name_on(int midi, const Voicing& notes) {
  const auto found = std::find_if(notes.begin(), notes.end(), [&](const Pitch& note) { return note.midi() == midi; });
  return found == notes.end() ? "" : to_string(found->name());
}

}  // namespace

std::string keyboard_text(const Voicing& notes, int indent) {
  if (notes.empty()) return {};
  int low = notes.front().midi();
  int high = notes.back().midi();
  while (low % 12 != 0 && low % 12 != 5) --low;
  while (high % 12 != 4 && high % 12 != 11) ++high;
  std::string upper = "|";
  std::string named = "|";
  std::string lower = "|";
  std::string whites = "|";
  std::string edge = "+";
  for (int midi = low; midi <= high; ++midi) {
    if (is_black_key(midi)) {
      // Three columns over the line between two white keys.
      const std::string name = name_on(midi, notes);
      const std::string label = name.empty() ? "###" : centred(name, 3);
      upper.replace(upper.size() - 2, 2, "###");
      named.replace(named.size() - 2, 2, label);
      continue;
    }
    const bool after_black = upper.back() != '|';
    upper += std::string(key_width - 1 - (after_black ? 1 : 0), ' ') + "|";
    named += std::string(key_width - 1 - (after_black ? 1 : 0), ' ') + "|";
    lower += std::string(key_width - 1, ' ') + "|";
    whites += centred(name_on(midi, notes), key_width - 1) + "|";
    edge += std::string(key_width - 1, '-') + "+";
  }
  const std::string before(static_cast<std::size_t>(indent), ' ');
  std::string text;
  for (const std::string& line : {edge, upper, named, upper, lower, whites, edge}) text += before + line + "\n";
  return text;
}

std::string hands_in_words(const HandsChord& hands) {
  std::string text;
  for (const bool right : {false, true}) {
    const Voicing& notes = right ? hands.right : hands.left;
    const Fingers& fingers = right ? hands.right_fingers : hands.left_fingers;
    if (notes.empty()) continue;
    text += fmt::format("{}{} hand ", text.empty() ? "" : "; ", right ? "right" : "left");
    for (std::size_t i = 0; i < notes.size(); ++i) {
      text += fmt::format("{}{}{}", i > 0 ? ", " : "", to_string(notes[i]),
                          i < fingers.size() ? fmt::format(" finger {}", fingers[i]) : "");
    }
  }
  return text;
}

}  // namespace romanesca
