#include "theory/songs/song_rows.h"

#include <fmt/format.h>

#include <algorithm>

#include "theory/songs/progression_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

using Kind = LineItem::Kind;

class RowBuilder {
 public:
  RowBuilder(const TypedLine& typed, std::string_view text, const RowSettings& settings)
      : typed_(typed), text_(text), settings_(settings), last_(settings.last_bar) {}

  RowReading read() {
    slashes_part_ = slashes_are_separators();
    for (at_ = 0; at_ < typed_.items.size() && !reading_.fault; ++at_) read_item(typed_.items[at_]);
    if (reading_.fault) return std::move(reading_);
    finish_bar();
    if (typed_.bracketed && typed_.words > 0) reading_.row.words = inline_words();
    return std::move(reading_);
  }

 private:
  /// "C / G / Am / F" without bar lines: one stroke between all chords parts them.
  [[nodiscard]] bool slashes_are_separators() const {
    if (typed_.barred) return false;
    std::size_t holds = 0, chords = 0;
    for (std::size_t i = 0; i < typed_.items.size(); ++i) {
      const LineItem& item = typed_.items[i];
      if (item.kind == Kind::chord) ++chords;
      if (item.kind != Kind::hold) continue;
      ++holds;
      const bool between = item.number == 1 && i > 0 && i + 1 < typed_.items.size() &&
                           typed_.items[i - 1].kind == Kind::chord && typed_.items[i + 1].kind == Kind::chord;
      if (!between) return false;
    }
    return holds > 0 && holds + 1 == chords;
  }

  void read_item(const LineItem& item) {
    switch (item.kind) {
      case Kind::chord:
        return add_chord(item, as_content(item.symbol));
      case Kind::no_chord:
        return add_chord(item, NoChord{});
      case Kind::hold:
        if (slashes_part_) return note_slashes();
        for (int i = 0; i < std::min(item.number, 24); ++i) add_hold(item);
        return;
      case Kind::dash:
        if (typed_.barred) ++dashes_;
        if (typed_.barred) dash_bar_.push_back({Hold{}, place_of(item)});
        return;
      case Kind::bar_line:
        return finish_bar();
      case Kind::repeat_open:
        finish_bar();
        opens_ = true;
        return;
      case Kind::repeat_close:
        finish_bar();
        if (!bars().empty()) bars().back().closes = 2;
        group_from_ = bars().size();
        return;
      case Kind::ending:
        finish_bar();
        ending_ = item.number;
        return;
      case Kind::repeat_bar:
        return repeat_bar(item);
      case Kind::times:
        return repeat_group(item);
      case Kind::bars:
        return repeat_chord(item);
      case Kind::group_open:
        finish_bar();
        group_from_ = bars().size();
        return;
      case Kind::group_close:
        finish_bar();
        closed_group_ = true;
        return;
      case Kind::remark:
        // Among words in a line with its chords in brackets it is a part of the words.
        if (!typed_.bracketed || typed_.words == 0) reading_.remarks.emplace_back(text_.substr(item.at, item.length));
        return;
      case Kind::separator:
      case Kind::word:
        return;
    }
  }

  std::vector<WrittenBar>& bars() { return reading_.row.bars; }

  void note_slashes() {
    if (!noted_slashes_) reading_.decisions.emplace_back("\"/\" between the chords only parts them");
    noted_slashes_ = true;
  }

  void add_chord(const LineItem& item, const std::variant<Chord, Numeral, NoChord, Hold>& content) {
    if (!typed_.barred) finish_bar();
    if (closed_group_) group_from_ = bars().size();
    closed_group_ = false;
    if (dashes_ > 0) dash_bar_.push_back({content, place_of(item)});
    if (dashes_ == 0) dash_bar_ = bar_;
    if (dashes_ == 0) dash_bar_.push_back({content, place_of(item)});
    bar_.push_back({content, place_of(item)});
  }

  void add_hold(const LineItem& item) {
    if (bar_.empty() && bars().empty() && last_.empty()) {
      return fail(item, "no chord before / to hold", "begin with a chord");
    }
    counted_ = true;
    bar_.push_back({Hold{}, place_of(item)});
  }

  void repeat_bar(const LineItem& item) {
    const auto part_of_bar = [&](std::size_t i) {
      const Kind kind = typed_.items[i].kind;
      return kind == Kind::chord || kind == Kind::no_chord || kind == Kind::repeat_bar || kind == Kind::hold;
    };
    const bool before = at_ > 0 && part_of_bar(at_ - 1);
    const bool after = at_ + 1 < typed_.items.size() && part_of_bar(at_ + 1);
    if (typed_.barred && (before || after)) {
      return fail(item, "% must be alone in its bar", "give it a bar of its own: | % |");
    }
    finish_bar();
    if (last_.empty()) return fail(item, "no bar before % to repeat", "write the first bar out");
    bar_ = last_;
    finish_bar();
  }

  /// The bar is whole. Dashes that fill the meter together with its chords are beats.
  void finish_bar() {
    const auto beats = static_cast<std::size_t>(settings_.meter.upper);
    if (dashes_ > 0 && dash_bar_.size() == beats && !bar_.empty()) bar_ = dash_bar_;
    dashes_ = 0;
    dash_bar_.clear();
    if (bar_.empty()) return;
    if (counted_ && fills_pulses()) write_pulses_as_beats();
    if (counted_ && bar_.size() != beats) {
      LineItem whole;
      const LineItem& end = typed_.items[std::min(at_, typed_.items.size() - 1)];
      whole.at = first_byte_;
      whole.length = end.at > first_byte_ ? end.at - first_byte_ : 1;
      fail(whole, fmt::format("this bar has {} beats, {} has {}", bar_.size(), to_string(settings_.meter), beats),
           fmt::format("with / each item is one beat; write {}, or leave the / out", beats));
      return;
    }
    if (bar_.size() > most_chords_in_bar) {
      return fail(typed_.items[std::min(at_, typed_.items.size() - 1)],
                  fmt::format("this bar has {} chords", bar_.size()),
                  fmt::format("a bar holds up to {}", most_chords_in_bar));
    }
    WrittenBar bar;
    bar.slots = std::move(bar_);
    bar.opens = opens_;
    bar.ending = ending_;
    opens_ = false;
    ending_ = 0;
    counted_ = false;
    bar_.clear();
    last_ = bar.slots;
    bars().push_back(std::move(bar));
  }

  /// In a compound meter strokes may count its pulses: two in 6/8.
  [[nodiscard]] bool fills_pulses() const {
    return settings_.meter.is_compound() && bar_.size() == static_cast<std::size_t>(settings_.meter.pulses());
  }

  void write_pulses_as_beats() {
    std::vector<Slot> beats;
    for (const Slot& slot : bar_) beats.insert(beats.end(), {slot, {Hold{}, slot.place}, {Hold{}, slot.place}});
    bar_ = std::move(beats);
  }

  void repeat_group(const LineItem& item) {
    finish_bar();
    if (!check(item)) return;
    if (!bars().empty() && bars().back().closes > 0) {
      bars().back().closes = item.number;
    } else if (may_have_signs(item.number)) {
      bars()[group_from_].opens = true;
      bars().back().closes = item.number;
    } else {
      copy(group_from_, item.number);
    }
    group_from_ = bars().size();
    closed_group_ = false;
  }

  void repeat_chord(const LineItem& item) {
    finish_bar();
    if (!check(item) || bars().empty()) return;
    copy(bars().size() - 1, item.number);
    group_from_ = bars().size();
  }

  /// Whether repeat signs say the same as the bars written out.
  [[nodiscard]] bool may_have_signs(int times) const {
    const std::vector<WrittenBar>& all = reading_.row.bars;
    bool inside = settings_.inside_repeat;
    for (std::size_t i = 0; i < group_from_; ++i) {
      inside = (inside || all[i].opens) && all[i].closes == 0;
    }
    return times > 1 && !inside && all.size() >= group_from_ + 2 &&
           std::none_of(all.begin() + static_cast<std::ptrdiff_t>(group_from_), all.end(),
                        [](const WrittenBar& bar) { return bar.opens || bar.closes > 0 || bar.ending > 0; });
  }

  bool check(const LineItem& item) {
    constexpr int most = 99;
    if (item.number <= most) return true;
    fail(item, fmt::format("more than {} times", most), "write a smaller number");
    return false;
  }

  void copy(std::size_t from, int times) {
    const std::size_t to = bars().size();
    if (to - from > 2000)
      return fail(typed_.items[at_], "too many bars to repeat in one line", "write them as a section");
    for (int i = 1; i < times; ++i) {
      for (std::size_t each = from; each < to; ++each) bars().push_back(bars()[each]);
    }
  }

  TextPlace place_of(const LineItem& item) {
    if (bar_.empty()) first_byte_ = item.at;
    if (item.at >= counted_to_) {
      column_ += static_cast<int>(code_points(settings_.raw.substr(counted_to_, item.at - counted_to_)));
      counted_to_ = item.at;
    }
    return {settings_.line, column_, static_cast<int>(code_points(settings_.raw.substr(item.at, item.length)))};
  }

  void fail(const LineItem& item, std::string message, std::string hint) {
    TextError error;
    error.message = std::move(message);
    error.hint = std::move(hint);
    const std::size_t at = std::min(item.at, settings_.raw.size());
    error.place = {settings_.line, static_cast<int>(code_points(settings_.raw.substr(0, at))) + 1,
                   std::max(1, static_cast<int>(code_points(settings_.raw.substr(at, item.length))))};
    error.line_text = std::string(settings_.raw);
    reading_.fault = std::move(error);
  }

  /// The words between chords in brackets.
  [[nodiscard]] std::vector<std::string> inline_words() const {
    std::vector<std::string> words(1);
    std::size_t from = 0;
    for (const LineItem& item : typed_.items) {
      if (item.kind != Kind::chord) continue;
      words.back() += text_.substr(from, item.at > from ? item.at - from : 0);
      words.emplace_back();
      from = item.at + item.length;
    }
    words.back() += trimmed(text_.substr(std::min(from, text_.size())));
    words.front().erase(0, std::min(words.front().find_first_not_of(" \t"), words.front().size()));
    return words;
  }

  const TypedLine& typed_;
  std::string_view text_;
  const RowSettings& settings_;
  RowReading reading_;
  std::vector<Slot> bar_, dash_bar_, last_;
  std::size_t at_ = 0, group_from_ = 0, first_byte_ = 0, counted_to_ = 0;
  std::size_t dashes_ = 0;
  int column_ = 1;
  int ending_ = 0;
  bool opens_ = false, counted_ = false, closed_group_ = false, slashes_part_ = false, noted_slashes_ = false;
};

/// Goes through a line by columns, counted from 0: a tab goes to the next multiple of 8.
class ColumnCursor {
 public:
  explicit ColumnCursor(std::string_view line) : line_(line) {}

  std::size_t column_of(std::size_t byte) {
    while (byte_ < std::min(byte, line_.size())) step();
    return column_;
  }
  std::size_t byte_at(std::size_t column) {
    while (byte_ < line_.size() && column_ < column) step();
    return byte_;
  }

 private:
  void step() {
    column_ = line_[byte_] == '\t' ? (column_ / 8 + 1) * 8 : column_ + 1;
    do ++byte_;
    while (byte_ < line_.size() && !begins_code_point(line_[byte_]));
  }

  std::string_view line_;
  std::size_t byte_ = 0, column_ = 0;
};

/// A chord that stands one or two letters into a word was meant for the word; over its last letter, for the next one;
/// else for a syllable inside.
std::size_t at_syllable(std::string_view words, std::size_t cut) {
  const auto blank = [&](std::size_t at) { return words[at] == ' ' || words[at] == '\t'; };
  if (cut == 0 || cut >= words.size() || blank(cut) || blank(cut - 1)) return cut;
  constexpr std::size_t longest_word = 40;
  std::size_t start = cut, end = cut;
  while (start > 0 && cut - start < longest_word && !blank(start - 1)) --start;
  while (end < words.size() && end - cut < longest_word && !blank(end)) ++end;
  if (code_points(words.substr(start, cut - start)) <= 2) return start;
  if (code_points(words.substr(cut, end - cut)) > 1) return cut;
  while (end < words.size() && blank(end)) ++end;
  return end;
}

}  // namespace

std::variant<Chord, Numeral, NoChord, Hold> as_content(const Symbol& symbol) {
  if (const auto* chord = std::get_if<Chord>(&symbol)) return *chord;
  return std::get<Numeral>(symbol);
}

RowReading read_song_row(const TypedLine& typed, std::string_view text, const RowSettings& settings) {
  return RowBuilder(typed, text, settings).read();
}

std::vector<std::string> words_at_chords(const TypedLine& chords, std::string_view chord_line, std::string_view words) {
  std::vector<std::string> parts(1);
  ColumnCursor above(chord_line), below(words);
  std::size_t from = 0;
  for (const LineItem& item : chords.items) {
    if (item.kind != Kind::chord && item.kind != Kind::no_chord) continue;
    const std::size_t cut = std::max(from, at_syllable(words, below.byte_at(above.column_of(item.at))));
    parts.back() += words.substr(from, cut - from);
    parts.emplace_back();
    from = cut;
  }
  parts.back() += words.substr(from);
  while (!parts.back().empty() && (parts.back().back() == ' ' || parts.back().back() == '\r')) parts.back().pop_back();
  return parts;
}

}  // namespace romanesca
