#include "cli/play/screen.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <ostream>

#include "theory/text/characters.h"

namespace romanesca {
namespace {

struct Letter {
  char symbol;
  std::array<std::string_view, big_rows> rows;
};

/// Every character of chord symbols; drawn for this program.
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

const Letter* letter_of(char symbol) {
  const auto found =
      std::find_if(letters.begin(), letters.end(), [&](const Letter& each) { return each.symbol == symbol; });
  return found == letters.end() ? nullptr : &*found;
}

constexpr std::string_view escape_bold = "\x1b[1m", escape_plain = "\x1b[0m", escape_faint = "\x1b[2m";

/// The text, which has no escape sequences, cut to that many columns.
std::string cut(std::string_view text, std::size_t columns) {
  std::string kept;
  for (const char c : text) {
    if (begins_code_point(c) && code_points(kept) == columns) break;
    kept += c;
  }
  return kept;
}

std::string padded(const std::string& text, std::size_t columns) {
  const std::size_t have = code_points(text);
  return have >= columns ? cut(text, columns) : text + std::string(columns - have, ' ');
}

class Screen {
 public:
  Screen(const LiveController& controller, const ScreenStatus& status, LiveEnvironment::Size size)
      : controller_(controller),
        status_(status),
        columns_(static_cast<std::size_t>(size.columns)),
        rows_(static_cast<std::size_t>(size.rows)) {}

  std::vector<std::string> draw() {
    header();
    beat_lights();
    chords();
    notes_and_fingers();
    messages();
    parts();
    help();
    if (lines_.size() > rows_) lines_.resize(rows_);
    return std::move(lines_);
  }

 private:
  void add(const std::string& text) { lines_.push_back(cut(" " + text, columns_)); }
  void blank_line() {
    if (rows_ >= 24) lines_.emplace_back();
  }

  void header() {
    const LiveArrangement& arrangement = controller_.playing();
    add(fmt::format("{}    {}    tempo {:g}    {} {}    on {}", cut(status_.title, columns_ / 3),
                    to_string(arrangement.key), controller_.tempo_bpm(),
                    to_string(arrangement.piece.meter_of(controller_.bar())), arrangement.style, status_.port));
    blank_line();
  }

  void beat_lights() {
    const LivePiece& piece = controller_.playing().piece;
    const bool counting = controller_.counting() > 0;
    const int pulses = piece.meter_of(counting ? 0 : controller_.bar()).pulses();
    const int lit = counting ? (pulses - controller_.counting() % pulses) % pulses : controller_.pulse();
    std::string lights;
    for (int i = 0; i < pulses; ++i) {
      const bool on = controller_.running() && !controller_.waiting() && i == lit;
      lights += status_.blocks ? (on ? "███ " : "░░░ ") : (on ? "### " : "... ");
    }
    const std::string state = counting                 ? fmt::format("count-in {}", controller_.counting())
                              : controller_.waiting()  ? "waiting for you"
                              : !controller_.running() ? "stopped"
                                                       : fmt::format("bar {} of {}", controller_.bar() + 1, piece.bars);
    const std::string& section = controller_.playing().section_names[controller_.section()];
    add(fmt::format("{} {}{}{}", lights, state, section.empty() ? "" : ", " + section,
                    controller_.looping() ? " (looped)" : ""));
    blank_line();
  }

  [[nodiscard]] const ShownChord* chord_at(int index) const {
    const auto& chords = controller_.playing().chords;
    if (chords.empty()) return nullptr;
    return &chords[static_cast<std::size_t>(index) % chords.size()];
  }

  /// The next chord that is struck, within the looped section if there is one.
  [[nodiscard]] const ShownChord* next_chord() const {
    const LiveArrangement& arrangement = controller_.playing();
    if (arrangement.chords.empty()) return nullptr;
    std::size_t first = 0, end = arrangement.chords.size();
    if (controller_.looping()) {
      const LiveSection& section = arrangement.piece.sections[controller_.section()];
      const auto in_section = [&](const ShownChord& c) {
        return c.bar >= section.first_bar && c.bar < section.first_bar + section.bars;
      };
      first = static_cast<std::size_t>(std::find_if(arrangement.chords.begin(), arrangement.chords.end(), in_section) -
                                       arrangement.chords.begin());
      end = first +
            static_cast<std::size_t>(std::count_if(arrangement.chords.begin(), arrangement.chords.end(), in_section));
      if (first == end) return nullptr;
    }
    const std::int32_t tick = arrangement.piece.tick_of(controller_.bar(), controller_.pulse());
    const auto coming = std::find_if(arrangement.piece.chords.begin(), arrangement.piece.chords.end(),
                                     [&](const LiveChord& chord) { return chord.tick >= tick; });
    std::size_t next = controller_.chord() ? static_cast<std::size_t>(*controller_.chord()) + 1
                                           : static_cast<std::size_t>(coming - arrangement.piece.chords.begin());
    for (std::size_t tries = 0; tries < arrangement.chords.size(); ++tries, ++next) {
      if (next >= end || next < first) next = first;
      if (!arrangement.piece.chords[next].held) return &arrangement.chords[next];
    }
    return nullptr;
  }

  void chords() {
    const ShownChord* const now = controller_.chord() ? chord_at(*controller_.chord()) : nullptr;
    const ShownChord* const next = next_chord();
    const std::string now_text = now != nullptr ? now->symbol : "";
    const std::string next_text = next != nullptr ? next->symbol : "";
    const std::string_view block = status_.blocks ? "█" : "#";
    const std::size_t half = std::max<std::size_t>(big_width(now_text) + 4, columns_ / 2);
    const bool next_fits = half + big_width(next_text) + 2 <= columns_;
    add(padded("now", half) + "next" + (next_fits ? "" : ": " + next_text));
    const auto big_now = big_letters(now_text, block);
    const auto big_next = big_letters(next_fits ? next_text : "", block);
    for (std::size_t row = 0; row < big_rows; ++row) {
      const std::string line = cut(" " + padded(big_now[row], half) + big_next[row], columns_);
      lines_.push_back(status_.colour ? std::string(escape_bold) + line + std::string(escape_plain) : line);
    }
    blank_line();
  }

  void notes_and_fingers() {
    const LiveArrangement& arrangement = controller_.playing();
    const ShownChord* const now = controller_.chord() ? chord_at(*controller_.chord()) : next_chord();
    if (now != nullptr && !now->right.empty()) {
      add(fmt::format("{} hand  {}    fingers  {}    {}", now->left_alone ? "left" : "right", now->right, now->fingers,
                      now->numeral));
    } else {
      add("");
    }
    add(fmt::format("this bar  {}    next bar  {}", arrangement.bar_text(controller_.bar()),
                    arrangement.bar_text(next_bar())));
  }

  [[nodiscard]] int next_bar() const {
    const LivePiece& piece = controller_.playing().piece;
    if (controller_.looping()) {
      const LiveSection& section = piece.sections[controller_.section()];
      if (controller_.bar() + 1 >= section.first_bar + section.bars) return section.first_bar;
    }
    return (controller_.bar() + 1) % piece.bars;
  }

  void messages() {
    blank_line();
    add(status_.heard.empty() ? "" : "heard  " + status_.heard);
    add(status_.message.empty() ? "" : "> " + status_.message);
    if (!status_.stats.empty()) add(status_.stats);
  }

  void parts() {
    const auto& parts = controller_.playing().piece.parts;
    std::vector<std::string> items;
    for (std::size_t i = 0; i < parts.size() && i < 10; ++i) {
      const std::string& name = parts[i].name == "click" ? "metronome" : parts[i].name;
      items.push_back(fmt::format("{} {}", (i + 1) % 10, controller_.is_muted(i) ? "(" + name + ")" : name));
    }
    blank_line();
    for (const std::string& line : wrapped(items)) add(line);
  }

  void help() {
    std::vector<std::string> items;
    for (const PlayActionRow& row : play_actions()) items.push_back(fmt::format("{}: {}", row.keys, row.description));
    for (const std::string& line : wrapped(items)) {
      const std::string text = cut(" " + line, columns_);
      lines_.push_back(status_.colour ? std::string(escape_faint) + text + std::string(escape_plain) : text);
    }
  }

  /// As many items in a row as there is room for.
  [[nodiscard]] std::vector<std::string> wrapped(const std::vector<std::string>& items) const {
    std::vector<std::string> rows(1);
    for (const std::string& item : items) {
      if (!rows.back().empty() && rows.back().size() + item.size() + 4 > columns_) rows.emplace_back();
      rows.back() += (rows.back().empty() ? "" : "   ") + item;
    }
    return rows;
  }

  const LiveController& controller_;
  const ScreenStatus& status_;
  std::size_t columns_, rows_;
  std::vector<std::string> lines_;
};

}  // namespace

std::size_t big_width(std::string_view text) {
  std::size_t width = 0;
  for (const char symbol : text) {
    if (const Letter* letter = letter_of(symbol)) width += letter->rows[0].size() + 1;
  }
  return width == 0 ? 0 : width - 1;
}

std::vector<std::string> big_letters(std::string_view text, std::string_view block) {
  std::vector<std::string> rows(big_rows);
  bool first = true;
  for (const char symbol : text) {
    const Letter* const letter = letter_of(symbol);
    if (letter == nullptr) continue;
    for (std::size_t row = 0; row < big_rows; ++row) {
      if (!first) rows[row] += ' ';
      for (const char dot : letter->rows[row]) rows[row] += dot == ' ' ? std::string_view(" ") : block;
    }
    first = false;
  }
  return rows;
}

std::vector<std::string> screen_lines(const LiveController& controller, const ScreenStatus& status,
                                      LiveEnvironment::Size size) {
  return Screen(controller, status, size).draw();
}

std::string bar_line(const LiveController& controller) {
  const LiveArrangement& arrangement = controller.playing();
  const std::string& section = arrangement.section_names[controller.section()];
  std::string chords;
  for (const ShownChord& chord : arrangement.chords) {
    if (chord.bar == controller.bar()) chords += (chords.empty() ? "" : ", then ") + chord.symbol;
  }
  return fmt::format("bar {} of {}{}: {}", controller.bar() + 1, arrangement.piece.bars,
                     section.empty() ? "" : ", " + section, chords.empty() ? "no chord" : chords);
}

ScreenPainter::ScreenPainter(std::ostream& out) : out_(out) {
  out_ << "\x1b[?1049h\x1b[?25l\x1b[2J" << std::flush;  // xterm's alternate screen, without a cursor
}

ScreenPainter::~ScreenPainter() { out_ << "\x1b[?25h\x1b[?1049l" << std::flush; }

void ScreenPainter::paint(const std::vector<std::string>& lines, LiveEnvironment::Size size) {
  if (size.columns != size_.columns || size.rows != size_.rows) {
    shown_.clear();
    size_ = size;
    out_ << "\x1b[2J";
  }
  const std::size_t count = std::max(lines.size(), shown_.size());
  bool changed = false;
  for (std::size_t row = 0; row < count; ++row) {
    const std::string line = row < lines.size() ? lines[row] : "";
    if (row < shown_.size() && shown_[row] == line) continue;
    out_ << fmt::format("\x1b[{};1H{}\x1b[K", row + 1, line);
    changed = true;
  }
  shown_ = lines;
  if (changed) out_ << std::flush;
}

}  // namespace romanesca
