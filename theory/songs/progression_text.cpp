#include "theory/songs/progression_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "theory/songs/header_text.h"
#include "theory/songs/symbol_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

bool is_tempo(std::string_view name) { return name == "tempo" || name == "Tempo"; }
bool is_change(std::string_view name) {
  return is_tempo(name) || name == "key" || name == "Key" || name == "meter" || name == "Meter";
}

/// Reads the text line by line. Every function below reads one rule of the grammar and remembers the first error.
class ProgressionReader {
 public:
  explicit ProgressionReader(const std::string& source) { fault_.source = source; }

  Parsed<Progression> read(std::string_view text) {
    if (text.size() > longest_text) {
      fail(0, 1, fmt::format("the text is longer than {} bytes", longest_text),
           "check that it is the right file; a song of a thousand bars has less than a hundredth of that");
      return fault_;
    }
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    while (!text.empty() && !failed_) {
      const std::size_t end = std::min(text.find('\n'), text.size());
      line_ = text.substr(0, end);
      if (line_.ends_with('\r')) line_.remove_suffix(1);
      ++number_;
      if (check_characters()) read_line();
      text.remove_prefix(std::min(end + 1, text.size()));
    }
    if (!failed_ && !seen_chord_) {
      line_ = {};
      number_ = 0;
      fail(0, 1, "no chords in the text", "write some, like \"| C | Am | F | G |\"");
    }
    if (!failed_ && change_.any()) {
      line_ = {};
      fail(0, 1, "no bars after this change", "write the bars that it is for, or leave it out", change_line_);
    }
    if (failed_) return fault_;
    return result_.capo == 0 ? std::move(result_) : sounding_with_capo(result_);
  }

 private:
  /// Refuses files that are no text, such as pictures and sound.
  bool check_characters() {
    if (const auto bad = first_bad_byte(line_)) {
      const std::size_t at = *bad;
      fail(at, 1, "not plain text in UTF-8", "save the chords as plain text");
      fault_.line_text.clear();
      return false;
    }
    return true;
  }

  /// line = blank | comment | header | heading | bars [comment]
  void read_line() {
    const std::size_t first = line_.find_first_not_of(" \t");
    if (first == std::string_view::npos) return;
    if (line_[first] == '[') return read_heading(first);
    if (!starts_comment(first)) {
      if (const auto header = split_header(line_)) return read_header(*header);
    }
    read_row(first);
  }

  void read_header(const HeaderLine& header) {
    const std::size_t name_at = at(header.name);
    // Directly under a heading a tempo is that of the section.
    if (is_tempo(header.name) && !result_.sections.empty() && result_.sections.back().rows.empty()) {
      if (result_.sections.back().tempo_bpm) {
        return fail(name_at, header.name.size(), fmt::format("\"{}:\" is given twice", header.name),
                    "keep one of the two");
      }
      const auto tempo = parse_tempo(header.value);
      const std::string_view culprit = header.value.empty() ? header.name : header.value;
      if (!tempo) return fail(at(culprit), culprit.size(), tempo.error().message, tempo.error().hint);
      result_.sections.back().tempo_bpm = *tempo;
      return;
    }
    if (seen_chord_ && is_change(header.name)) return read_change(header);
    if (seen_chord_) {
      return fail(name_at, header.name.size(), fmt::format("\"{}:\" comes after the first chord", header.name),
                  "put such lines at the top of the text");
    }
    const auto fault = apply_header(header, result_);
    if (!fault) return;
    const bool blame_name = fault->place.column == 1 || header.value.empty();
    const std::string_view culprit = blame_name ? header.name : header.value;
    fail(at(culprit), culprit.size(), fault->message, fault->hint);
  }

  /// After the first chord: from the next line of bars on. @param header with a name that is_change knows
  void read_change(const HeaderLine& header) {
    Progression stated;
    stated.key = change_.key;
    stated.tempo_bpm = change_.tempo_bpm;
    stated.written_meter = change_.meter;
    if (!change_.any()) change_line_ = number_;
    if (const auto fault = apply_header(header, stated)) {
      const bool blame_name = fault->place.column == 1 || header.value.empty();
      const std::string_view culprit = blame_name ? header.name : header.value;
      return fail(at(culprit), culprit.size(), fault->message, fault->hint);
    }
    change_ = {stated.written_meter, stated.key, stated.tempo_bpm};
    if (change_.meter) meter_now_ = *change_.meter;
  }

  /// heading = "[" name "]"
  void read_heading(std::size_t first) {
    const std::size_t close = line_.find(']', first);
    if (close == std::string_view::npos) {
      return fail(first, line_.size() - first, "the section heading is not closed", "close it with ]");
    }
    const std::string_view after = line_.substr(close + 1);
    const std::size_t rest = after.find_first_not_of(" \t");
    if (rest != std::string_view::npos && after[rest] != '#') {
      return fail(close + 1 + rest, after.size() - rest, "text after a section heading",
                  "put the chords on the next line");
    }
    std::string_view name = line_.substr(first + 1, close - first - 1);
    while (name.starts_with(' ')) name.remove_prefix(1);
    while (name.ends_with(' ')) name.remove_suffix(1);
    result_.sections.push_back({std::string(name), {}, std::nullopt});
  }

  /// A # at the start or after a blank, unless what follows is a chord like #IV.
  bool starts_comment(std::size_t position) {
    if (line_[position] != '#') return false;
    if (position > 0 && line_[position - 1] != ' ' && line_[position - 1] != '\t' && line_[position - 1] != '|') {
      return false;
    }
    return !parse_symbol(token_at(position));
  }

  [[nodiscard]] std::string_view token_at(std::size_t position) const {
    std::size_t end = position;
    while (end < line_.size() && line_[end] != ' ' && line_[end] != '\t' && line_[end] != '|') ++end;
    return line_.substr(position, end - position);
  }

  /// row = { bar line | item } [comment]. Without a bar line each chord fills a bar.
  void read_row(std::size_t position) {
    Row row;
    Bar bar;
    bool barred = false;
    std::size_t bar_at = position;
    while (position < line_.size() && !failed_) {
      const char c = line_[position];
      if (c == ' ' || c == '\t') {
        ++position;
      } else if (c == '|') {
        barred = true;
        finish_bar(row, bar, bar_at, position);
        bar_at = ++position;
      } else if (starts_comment(position)) {
        row.comment = line_.substr(position);
        break;
      } else {
        const std::string_view token = token_at(position);
        read_item(bar, token, position);
        position += token.size();
      }
    }
    if (failed_) return;
    if (barred) {
      finish_bar(row, bar, bar_at, std::min(position, line_.size()));
    } else {
      split_into_bars(row, bar);
    }
    if (failed_) return;
    if (result_.sections.empty()) result_.sections.emplace_back();
    if (!row.bars.empty()) std::swap(row.change, change_);
    if (!row.bars.empty() || !row.comment.empty()) result_.sections.back().rows.push_back(std::move(row));
  }

  /// item = "%" | "/" | "N.C." | chord
  void read_item(Bar& bar, std::string_view token, std::size_t position) {
    Slot slot{NoChord{}, place_of(position, token.size())};
    if (token == "%") {
      if (!seen_bar_ && bar.slots.empty()) {
        return fail(position, 1, "no bar before % to repeat", "write the first bar out");
      }
      if (!bar.slots.empty() || bar.repeats_last) {
        return fail(position, 1, "% must be alone in its bar", "give it a bar of its own: | % |");
      }
      bar.repeats_last = true;
      seen_bar_ = true;
      return;
    }
    if (bar.repeats_last) {
      return fail(position, token.size(), "% must be alone in its bar", "give it a bar of its own: | % |");
    }
    if (token == "/") {
      if (!seen_chord_) return fail(position, 1, "no chord before / to hold", "begin with a chord");
      slot.content = Hold{};
    } else if (!is_no_chord(token)) {
      const auto symbol = parse_symbol(token);
      if (!symbol) {
        const TextError error = unknown_chord(token);
        return fail(position, token.size(), error.message, error.hint);
      }
      const Notation notation = notation_of(*symbol);
      if (seen_symbol_ && notation != result_.notation) {
        return fail(position, token.size(),
                    fmt::format("\"{}\" is {}, but the progression began with {}", token,
                                romanesca::to_string(notation), began_with_),
                    "use one kind only: chord symbols, Roman numerals or numbers");
      }
      if (!seen_symbol_) began_with_ = token;
      seen_symbol_ = true;
      result_.notation = notation;
      if (const auto* chord = std::get_if<Chord>(&*symbol)) {
        slot.content = *chord;
      } else {
        slot.content = std::get<Numeral>(*symbol);
      }
    }
    seen_chord_ = true;
    seen_bar_ = true;
    bar.slots.push_back(slot);
  }

  void finish_bar(Row& row, Bar& bar, std::size_t from, std::size_t to) {
    if (bar.slots.empty() && !bar.repeats_last) return;
    const Meter meter = meter_now_.value_or(result_.meter());
    const auto beats = static_cast<std::size_t>(meter.upper);
    const bool counted = std::any_of(bar.slots.begin(), bar.slots.end(),
                                     [](const Slot& slot) { return std::holds_alternative<Hold>(slot.content); });
    while (from < to && (line_[from] == ' ' || line_[from] == '\t')) ++from;
    while (to > from && (line_[to - 1] == ' ' || line_[to - 1] == '\t')) --to;
    if (counted && bar.slots.size() != beats) {
      return fail(from, to - from,
                  fmt::format("this bar has {} beats, {} has {}", bar.slots.size(), romanesca::to_string(meter), beats),
                  fmt::format("with / each item is one beat; write {}, or leave the / out", beats));
    }
    if (bar.slots.size() > most_chords_in_bar) {
      return fail(from, to - from, fmt::format("this bar has {} chords", bar.slots.size()),
                  fmt::format("a bar holds up to {}", most_chords_in_bar));
    }
    if (!bar.repeats_last) chords_in_last_bar_ = bar.slots.size();
    if (!count_chords(from, chords_in_last_bar_)) return;
    row.bars.push_back(std::move(bar));
    bar = {};
  }

  bool count_chords(std::size_t position, std::size_t more) {
    chords_ += more;
    if (chords_ <= most_chords_in_text) return true;
    fail(position, 1, fmt::format("the piece has more than {} chords", most_chords_in_text),
         "repeated bars count again; split it into several pieces");
    return false;
  }

  void split_into_bars(Row& row, Bar& bar) {
    if (!count_chords(0, bar.repeats_last ? chords_in_last_bar_ : bar.slots.size())) return;
    if (bar.repeats_last) row.bars.push_back(bar);
    if (!bar.slots.empty()) chords_in_last_bar_ = 1;
    for (const Slot& slot : bar.slots) {
      if (std::holds_alternative<Hold>(slot.content)) {
        fail_at(slot.place, "/ counts beats, and this line has no bar lines", "put them in: | C / D / |");
        return;
      }
      row.bars.push_back({{slot}, false});
    }
  }

  [[nodiscard]] std::size_t at(std::string_view part) const {
    return static_cast<std::size_t>(part.data() - line_.data());
  }

  /// Columns are counted on from the last place asked for, so that a long line is gone through once.
  TextPlace place_of(std::size_t position, std::size_t bytes) {
    if (counted_line_ != number_ || position < counted_to_) {
      counted_line_ = number_;
      counted_to_ = 0;
      column_ = 1;
    }
    column_ += static_cast<int>(code_points(line_.substr(counted_to_, position - counted_to_)));
    counted_to_ = position;
    return {number_, column_, std::max(1, static_cast<int>(code_points(line_.substr(position, bytes))))};
  }

  void fail(std::size_t position, std::size_t bytes, std::string message, std::string hint, int line = -1) {
    TextPlace place = place_of(position, bytes);
    if (line >= 0) place.line = line;
    fail_at(place, std::move(message), std::move(hint));
  }

  void fail_at(TextPlace place, std::string message, std::string hint) {
    failed_ = true;
    fault_.message = std::move(message);
    fault_.hint = std::move(hint);
    fault_.place = place;
    fault_.line_text = line_;
  }

  Progression result_;
  SongChange change_;  // for the next line of bars
  int change_line_ = 0;
  std::optional<Meter> meter_now_;  // after a change
  TextError fault_;
  bool failed_ = false;
  bool seen_chord_ = false;
  bool seen_symbol_ = false;
  bool seen_bar_ = false;
  std::size_t chords_ = 0;
  std::size_t chords_in_last_bar_ = 0;
  std::string began_with_;
  std::string_view line_;
  int number_ = 0;
  int counted_line_ = -1;
  std::size_t counted_to_ = 0;
  int column_ = 1;
};

}  // namespace

Parsed<Progression> parse_progression(std::string_view text, const std::string& source) {
  return ProgressionReader(source).read(text);
}

}  // namespace romanesca
