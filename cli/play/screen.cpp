#include "cli/play/screen.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "cli/play/big_letters.h"
#include "theory/text/utf8.h"

namespace romanesca {
namespace {

constexpr std::string_view escape_bold = "\x1b[1m", escape_plain = "\x1b[0m", escape_faint = "\x1b[2m";

/// The text, which has no escapes, up to that many columns.
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
  Screen(const Desk& desk, const ScreenNews& news, PlayWorld::Size size)
      : desk_(desk),
        news_(news),
        columns_(static_cast<std::size_t>(size.columns)),
        rows_(static_cast<std::size_t>(size.rows)) {}

  std::vector<std::string> draw() {
    head();
    beat_lights();
    chords();
    hands();
    news();
    parts();
    help();
    if (lines_.size() > rows_) lines_.resize(rows_);
    return std::move(lines_);
  }

 private:
  void add(const std::string& text) { lines_.push_back(cut(" " + text, columns_)); }
  void gap() {
    if (rows_ >= 24) lines_.emplace_back();
  }

  void head() {
    const Tune& tune = desk_.playing();
    add(fmt::format("{}    {}    tempo {:g}    {} {}    on {}", cut(news_.title, columns_ / 3), to_string(tune.key),
                    desk_.tempo_bpm(), to_string(tune.piece.meter), tune.style, news_.port));
    gap();
  }

  void beat_lights() {
    const LivePiece& piece = desk_.playing().piece;
    const int pulses = piece.bar_ticks / piece.pulse_ticks;
    const bool counting = desk_.counting() > 0;
    const int lit = counting ? (pulses - desk_.counting() % pulses) % pulses : desk_.pulse();
    std::string lights;
    for (int i = 0; i < pulses; ++i) {
      const bool on = desk_.running() && !desk_.waiting() && i == lit;
      lights += news_.blocks ? (on ? "███ " : "░░░ ") : (on ? "### " : "... ");
    }
    const std::string state = counting           ? fmt::format("count-in {}", desk_.counting())
                              : desk_.waiting()  ? "waiting for you"
                              : !desk_.running() ? "stopped"
                                                 : fmt::format("bar {} of {}", desk_.bar() + 1, piece.bars);
    const std::string& section = desk_.playing().section_names[desk_.section()];
    add(fmt::format("{} {}{}{}", lights, state, section.empty() ? "" : ", " + section,
                    desk_.looping() ? " (round and round)" : ""));
    gap();
  }

  [[nodiscard]] const TuneChord* chord_at(int index) const {
    const auto& chords = desk_.playing().chords;
    if (chords.empty()) return nullptr;
    return &chords[static_cast<std::size_t>(index) % chords.size()];
  }

  /// The next chord that is struck, in the loop.
  [[nodiscard]] const TuneChord* next_chord() const {
    const Tune& tune = desk_.playing();
    if (tune.chords.empty()) return nullptr;
    std::size_t first = 0, end = tune.chords.size();
    if (desk_.looping()) {
      const LiveSection& section = tune.piece.sections[desk_.section()];
      const auto in = [&](const TuneChord& c) {
        return c.bar >= section.first_bar && c.bar < section.first_bar + section.bars;
      };
      first = static_cast<std::size_t>(std::find_if(tune.chords.begin(), tune.chords.end(), in) - tune.chords.begin());
      end = first + static_cast<std::size_t>(std::count_if(tune.chords.begin(), tune.chords.end(), in));
      if (first == end) return nullptr;
    }
    const std::int32_t here = desk_.bar() * tune.piece.bar_ticks + desk_.pulse() * tune.piece.pulse_ticks;
    const auto coming = std::find_if(tune.piece.chords.begin(), tune.piece.chords.end(),
                                     [&](const LiveChord& chord) { return chord.tick >= here; });
    std::size_t next = desk_.chord() ? static_cast<std::size_t>(*desk_.chord()) + 1
                                     : static_cast<std::size_t>(coming - tune.piece.chords.begin());
    for (std::size_t tries = 0; tries < tune.chords.size(); ++tries, ++next) {
      if (next >= end || next < first) next = first;
      if (!tune.piece.chords[next].held) return &tune.chords[next];
    }
    return nullptr;
  }

  void chords() {
    const TuneChord* const now = desk_.chord() ? chord_at(*desk_.chord()) : nullptr;
    const TuneChord* const next = next_chord();
    const std::string now_text = now != nullptr ? now->symbol : "";
    const std::string next_text = next != nullptr ? next->symbol : "";
    const std::string_view block = news_.blocks ? "█" : "#";
    const std::size_t half = std::max<std::size_t>(big_width(now_text) + 4, columns_ / 2);
    const bool next_fits = half + big_width(next_text) + 2 <= columns_;
    add(padded("now", half) + "next" + (next_fits ? "" : ": " + next_text));
    const auto big_now = big_letters(now_text, block);
    const auto big_next = big_letters(next_fits ? next_text : "", block);
    for (std::size_t row = 0; row < big_rows; ++row) {
      const std::string line = cut(" " + padded(big_now[row], half) + big_next[row], columns_);
      lines_.push_back(news_.colour ? std::string(escape_bold) + line + std::string(escape_plain) : line);
    }
    gap();
  }

  void hands() {
    const Tune& tune = desk_.playing();
    const TuneChord* const now = desk_.chord() ? chord_at(*desk_.chord()) : next_chord();
    if (now != nullptr && !now->right.empty()) {
      add(fmt::format("right hand  {}    fingers  {}    {}", now->right, now->fingers, now->numeral));
    } else {
      add("");
    }
    add(fmt::format("this bar  {}    next bar  {}", tune.bar_text(desk_.bar()), tune.bar_text(next_bar())));
  }

  [[nodiscard]] int next_bar() const {
    const LivePiece& piece = desk_.playing().piece;
    if (desk_.looping()) {
      const LiveSection& section = piece.sections[desk_.section()];
      if (desk_.bar() + 1 >= section.first_bar + section.bars) return section.first_bar;
    }
    return (desk_.bar() + 1) % piece.bars;
  }

  void news() {
    gap();
    add(news_.heard.empty() ? "" : "heard  " + news_.heard);
    add(news_.message.empty() ? "" : "> " + news_.message);
    if (!news_.stats.empty()) add(news_.stats);
  }

  void parts() {
    const auto& parts = desk_.playing().piece.parts;
    std::vector<std::string> items;
    for (std::size_t i = 0; i < parts.size() && i < 10; ++i) {
      const std::string& name = parts[i].name == "click" ? "metronome" : parts[i].name;
      items.push_back(fmt::format("{} {}", (i + 1) % 10, desk_.is_out(i) ? "(" + name + ")" : name));
    }
    gap();
    for (const std::string& line : rows_of(items)) add(line);
  }

  void help() {
    std::vector<std::string> items;
    for (const PlayActionRow& row : play_actions()) items.push_back(fmt::format("{}: {}", row.keys, row.says));
    for (const std::string& line : rows_of(items)) {
      const std::string text = cut(" " + line, columns_);
      lines_.push_back(news_.colour ? std::string(escape_faint) + text + std::string(escape_plain) : text);
    }
  }

  /// As many items in a row as there is room for.
  [[nodiscard]] std::vector<std::string> rows_of(const std::vector<std::string>& items) const {
    std::vector<std::string> rows(1);
    for (const std::string& item : items) {
      if (!rows.back().empty() && rows.back().size() + item.size() + 4 > columns_) rows.emplace_back();
      rows.back() += (rows.back().empty() ? "" : "   ") + item;
    }
    return rows;
  }

  const Desk& desk_;
  const ScreenNews& news_;
  std::size_t columns_, rows_;
  std::vector<std::string> lines_;
};

}  // namespace

std::vector<std::string> screen_lines(const Desk& desk, const ScreenNews& news, PlayWorld::Size size) {
  return Screen(desk, news, size).draw();
}

std::string bar_line(const Desk& desk) {
  const Tune& tune = desk.playing();
  const std::string& section = tune.section_names[desk.section()];
  std::string chords;
  for (const TuneChord& chord : tune.chords) {
    if (chord.bar == desk.bar()) chords += (chords.empty() ? "" : ", then ") + chord.symbol;
  }
  return fmt::format("bar {} of {}{}: {}", desk.bar() + 1, tune.piece.bars, section.empty() ? "" : ", " + section,
                     chords.empty() ? "no chord" : chords);
}

ScreenPainter::ScreenPainter(std::ostream& out) : out_(out) {
  out_ << "\x1b[?1049h\x1b[?25l\x1b[2J" << std::flush;  // xterm's other page, without a cursor
}

ScreenPainter::~ScreenPainter() { out_ << "\x1b[?25h\x1b[?1049l" << std::flush; }

void ScreenPainter::paint(const std::vector<std::string>& lines, PlayWorld::Size size) {
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
