#include "cli/play/big_letters.h"

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

struct Letter {
  char sign;
  std::array<std::string_view, big_rows> rows;
};

/// What chord symbols are written with; drawn for this program.
constexpr std::array<Letter, 38> letters{{
    {'A', {" ### ", "#   #", "#####", "#   #", "#   #"}},
    {'B', {"#### ", "#   #", "#### ", "#   #", "#### "}},
    {'C', {" ####", "#    ", "#    ", "#    ", " ####"}},
    {'D', {"#### ", "#   #", "#   #", "#   #", "#### "}},
    {'E', {"#####", "#    ", "#### ", "#    ", "#####"}},
    {'F', {"#####", "#    ", "#### ", "#    ", "#    "}},
    {'G', {" ####", "#    ", "#  ##", "#   #", " ####"}},
    {'N', {"#   #", "##  #", "# # #", "#  ##", "#   #"}},
    {'#', {" # # ", "#####", " # # ", "#####", " # # "}},
    {'b', {"#   ", "#   ", "### ", "#  #", "### "}},
    {'m', {"     ", "     ", "#### ", "# # #", "# # #"}},
    {'a', {"    ", " ## ", "   #", " ###", " ###"}},
    {'j', {"  #", "   ", "  #", "# #", " # "}},
    {'d', {"   #", "   #", " ###", "#  #", " ###"}},
    {'i', {"#", " ", "#", "#", "#"}},
    {'u', {"    ", "    ", "#  #", "#  #", " ###"}},
    {'s', {"    ", " ###", "##  ", "  ##", "### "}},
    {'g', {"    ", " ###", "#  #", " ###", "  ##"}},
    {'l', {"#", "#", "#", "#", "#"}},
    {'t', {" # ", "###", " # ", " # ", " ##"}},
    {'o', {"    ", "    ", " ## ", "#  #", " ## "}},
    {'n', {"    ", "    ", "### ", "#  #", "#  #"}},
    {'0', {" ## ", "#  #", "#  #", "#  #", " ## "}},
    {'1', {" # ", "## ", " # ", " # ", "###"}},
    {'2', {"### ", "   #", " ## ", "#   ", "####"}},
    {'3', {"### ", "   #", " ## ", "   #", "### "}},
    {'4', {"#  #", "#  #", "####", "   #", "   #"}},
    {'5', {"####", "#   ", "### ", "   #", "### "}},
    {'6', {" ## ", "#   ", "### ", "#  #", " ## "}},
    {'7', {"####", "   #", "  # ", " #  ", " #  "}},
    {'8', {" ## ", "#  #", " ## ", "#  #", " ## "}},
    {'9', {" ## ", "#  #", " ###", "   #", " ## "}},
    {'/', {"    #", "   # ", "  #  ", " #   ", "#    "}},
    {'+', {"   ", "   ", " # ", "###", " # "}},
    {'(', {" #", "# ", "# ", "# ", " #"}},
    {')', {"# ", " #", " #", " #", "# "}},
    {',', {" ", " ", " ", "#", "#"}},
    {'.', {" ", " ", " ", " ", "#"}},
}};

const Letter* letter_of(char sign) {
  const auto found =
      std::find_if(letters.begin(), letters.end(), [&](const Letter& each) { return each.sign == sign; });
  return found == letters.end() ? nullptr : &*found;
}

}  // namespace

std::size_t big_width(std::string_view text) {
  std::size_t width = 0;
  for (const char sign : text) {
    if (const Letter* letter = letter_of(sign)) width += letter->rows[0].size() + 1;
  }
  return width == 0 ? 0 : width - 1;
}

std::vector<std::string> big_letters(std::string_view text, std::string_view block) {
  std::vector<std::string> rows(big_rows);
  bool first = true;
  for (const char sign : text) {
    const Letter* const letter = letter_of(sign);
    if (letter == nullptr) continue;
    for (std::size_t row = 0; row < big_rows; ++row) {
      if (!first) rows[row] += ' ';
      for (const char dot : letter->rows[row]) rows[row] += dot == ' ' ? std::string_view(" ") : block;
    }
    first = false;
  }
  return rows;
}

}  // namespace romanesca
