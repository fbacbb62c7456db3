#include "theory/songs/song_assembly.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "theory/songs/header_text.h"
#include "theory/songs/song_facts.h"
#include "theory/songs/song_form.h"
#include "theory/songs/song_heading.h"
#include "theory/songs/song_lines.h"
#include "theory/songs/song_rows.h"
#include "theory/songs/song_words.h"
#include "theory/songs/typed_line.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// "D.C. al Fine" and its like at the end of a line, or as the line. @return what to do, and the line without it
struct FormMarks {
  Jump jump = Jump::none;
  bool fine = false, to_coda = false, segno = false;
};

FormMarks take_form_marks(std::string& text) {
  struct Phrase {
    std::string_view words;
    Jump jump;
    int mark;  // 1 fine, 2 to coda, 3 segno
  };
  constexpr std::array<Phrase, 26> phrases{{{"d.c. al fine", Jump::da_capo_al_fine, 0},
                                            {"dc al fine", Jump::da_capo_al_fine, 0},
                                            {"d. c. al fine", Jump::da_capo_al_fine, 0},
                                            {"da capo al fine", Jump::da_capo_al_fine, 0},
                                            {"d.c. al coda", Jump::da_capo_al_coda, 0},
                                            {"dc al coda", Jump::da_capo_al_coda, 0},
                                            {"da capo al coda", Jump::da_capo_al_coda, 0},
                                            {"d.s. al fine", Jump::dal_segno_al_fine, 0},
                                            {"ds al fine", Jump::dal_segno_al_fine, 0},
                                            {"dal segno al fine", Jump::dal_segno_al_fine, 0},
                                            {"d.s. al coda", Jump::dal_segno_al_coda, 0},
                                            {"ds al coda", Jump::dal_segno_al_coda, 0},
                                            {"dal segno al coda", Jump::dal_segno_al_coda, 0},
                                            {"d.c.", Jump::da_capo, 0},
                                            {"da capo", Jump::da_capo, 0},
                                            {"d.s.", Jump::dal_segno, 0},
                                            {"dal segno", Jump::dal_segno, 0},
                                            {"to coda", Jump::none, 2},
                                            {"al coda", Jump::none, 2},
                                            {"(fine)", Jump::none, 1},
                                            {"fine.", Jump::none, 1},
                                            {"fine", Jump::none, 1},
                                            {"(segno)", Jump::none, 3},
                                            {"segno", Jump::none, 3},
                                            {"𝄋", Jump::none, 3},
                                            {"(to coda)", Jump::none, 2}}};
  FormMarks marks;
  const std::string small = small_letters(text);
  for (const Phrase& each : phrases) {
    std::string_view rest = trimmed(small);
    while (!rest.empty() && (rest.back() == '.' || rest.back() == '|' || rest.back() == ' ' || rest.back() == ')' ||
                             rest.back() == ']')) {
      if (rest.ends_with(each.words)) break;
      rest.remove_suffix(1);
    }
    const bool at_start = each.mark == 3 && rest.starts_with(each.words);
    if (!rest.ends_with(each.words) && !at_start) continue;
    std::size_t at = at_start ? static_cast<std::size_t>(rest.data() - small.data())
                              : static_cast<std::size_t>(rest.data() - small.data()) + rest.size() - each.words.size();
    const bool word = at == 0 || !is_letter(small[at - 1]);
    if (!word) continue;
    marks.jump = each.jump;
    marks.fine = each.mark == 1;
    marks.to_coda = each.mark == 2;
    marks.segno = each.mark == 3;
    for (std::size_t i = at; i < at + each.words.size(); ++i) text[i] = ' ';
    return marks;
  }
  return marks;
}

/// A tab, the diagram of a shape ("x32010", "G 320003"), or a pattern of strokes.
bool is_for_guitar(std::string_view text) {
  const std::string_view line = trimmed(text);
  if (line.size() > 5 && line.find_first_not_of("0123456789-|hpbrxX/\\~()^sEADGBe: ") == line.npos &&
      std::count(line.begin(), line.end(), '-') > 3) {
    return line.find("--") != line.npos || line.find_first_of("0123456789") != line.npos;
  }
  std::size_t shapes = 0, others = 0;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t end = std::min(line.find_first_of(" \t,:=", at), line.size());
    const std::string_view word = line.substr(at, end - at);
    const bool frets = word.size() == 6 && word.find_first_not_of("0123456789xX") == word.npos;
    const bool dashed = word.size() >= 11 && word.find_first_not_of("0123456789xX-") == word.npos &&
                        std::count(word.begin(), word.end(), '-') == 5;
    if (frets || dashed) {
      ++shapes;
    } else if (!word.empty()) {
      ++others;
    }
    at = end + 1;
  }
  if (shapes > 0 && others <= shapes) return true;
  std::size_t strokes = 0;  // "D DU UDU", "down down up"
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t end = std::min(line.find_first_of(" \t", at), line.size());
    const std::string_view word = line.substr(at, end - at);
    if (word.find_first_not_of("DUdu-xX↓↑v^") != word.npos) return false;
    strokes += word.find_first_of("Uu↑↓") != word.npos ? 2 : 0;
    at = end + 1;
  }
  return strokes >= 2;
}

/// Begins or ends a letter, or is a sentence of one.
bool is_letter_text(std::string_view text) {
  const std::string small = folded(text);
  if (small.empty()) return false;
  if (song_word_at_start(SongWord::greeting, small) > 0) return true;
  const char last = small.back();
  const auto blanks = std::count(small.begin(), small.end(), ' ');
  return last == ':' || last == ',' || ((last == '!' || last == '?' || last == '.') && blanks > 2) || blanks > 8 ||
         small.find('@') != small.npos || small.find("http") != small.npos;
}

/// How the song is played: "slow", "moderately fast".
bool is_character(std::string_view text) {
  const std::string small = folded(text);
  std::string_view rest = small;
  while (!rest.empty()) {
    const std::size_t length = song_word_at_start(SongWord::character, rest);
    if (length == 0) return false;
    rest.remove_prefix(length);
    while (!rest.empty() && (rest.front() == ' ' || rest.front() == ',')) rest.remove_prefix(1);
  }
  return true;
}

/// A word of a language, not a chord with a slip: small letters, or a capital and two small ones.
bool is_plain_word(std::string_view word) {
  while (!word.empty() && !is_letter(word.back()) && static_cast<unsigned char>(word.back()) < 0x80 &&
         !is_digit(word.back()) && word.back() != '#') {
    word.remove_suffix(1);
  }
  if (word.empty()) return true;
  std::size_t letters = 0;
  for (std::size_t i = 0; i < word.size(); ++i) {
    const char c = word[i];
    if (is_digit(c) || c == '#' || c == '/' || c == '(') return false;
    if (i > 0 && is_capital(c) && is_small_letter(word[i - 1])) return false;
    letters += is_letter(c) ? 1 : 0;
  }
  return letters > 2 || is_small_letter(word.front()) || word == "I" || static_cast<unsigned char>(word[0]) >= 0x80;
}

class SongAssembler {
 public:
  SongAssembler(std::string_view text, const std::string& source, std::optional<NoteNames> names)
      : lines_(song_lines(text)), stated_(names) {
    source_ = source;
  }

  AssembledSong assemble() {
    find_habit();
    sections_.emplace_back();
    for (index_ = 0; index_ < lines_.size() && !result_.fault; ++index_) read_line();
    if (!result_.fault) close_section();
    if (!result_.fault) finish();
    return std::move(result_);
  }

 private:
  // What the whole text shows.

  void find_habit() {
    for (const SongLine& line : lines_) {
      if (const auto facts = read_song_facts(line.text, NoteNames::english); facts.names && !stated_)
        stated_ = facts.names;
    }
    const HabitFound found = habit_of(lines_, stated_);
    habit_ = found.habit;
    if (habit_.names == NoteNames::german) {
      const std::string shown = found.shown_by_line > 0 ? fmt::format(", since {} occurs", found.shown_by) : "";
      decide(found.shown_by_line, fmt::format("German names of notes: H is B, B is B flat{}", shown), !stated_);
    } else if (habit_.names == NoteNames::solfege) {
      decide(0, "names of notes read as Do Re Mi: Do is C", false);
    } else if (habit_.small == SmallLetters::as_capitals) {
      decide(0, "lower case read as chord names", false);
    } else if (habit_.small == SmallLetters::minor) {
      decide(0, "chords in lower case read as minor", true);
    }
    find_letter_parts();
  }

  /// "A" alone over a line of chords is the name of a part, where the first such line is an A.
  void find_letter_parts() {
    bool parts = false, first = true;
    char next_new = 'A';  // parts come in the order of the alphabet
    for (std::size_t i = 0; i < lines_.size(); ++i) {
      const std::string_view text = trimmed(lines_[i].text);
      const bool letter = !text.empty() && text.size() <= 2 && text[0] >= 'A' && text[0] <= 'H' &&
                          (text.size() == 1 || is_digit(text[1]) || text[1] == '\'');
      if (!letter || (text.size() == 2 && is_digit(text[1]) && read_typed_chord(text, habit_))) continue;
      const bool after_blank = i == 0 || lines_[i - 1].blank || !chords_in(i - 1).is_chords();
      const TypedLine next = i + 1 < lines_.size() ? chords_in(i + 1) : TypedLine{};
      const bool heads = next.chords > next.words && (next.chords > 1 || next.barred);
      if (!heads || text[0] > next_new || !(after_blank || parts)) continue;
      if (text[0] == next_new) ++next_new;
      if (first) parts = text[0] == 'A';
      first = false;
      if (parts) letter_parts_[i] = std::string(text);
    }
    if (!parts) letter_parts_.clear();
    if (!letter_parts_.empty()) {
      decide(lines_[letter_parts_.begin()->first].number, "letters on their own lines read as names of parts", true);
    }
  }

  [[nodiscard]] TypedLine chords_in(std::size_t i) const { return read_typed_line(lines_[i].text, habit_); }

  // One line after the other.

  void read_line() {
    SongLine& line = lines_[index_];
    if (line.table_rule) {
      in_table_ = true;
      return;
    }
    if (line.blank) {
      if (line.title_mark && !seen_title_ && sections_.size() == 1 && !found_chords_) return take_title(line);
      if (line.title_mark || !line.comment.empty()) return keep_comment(line);
      after_row_ = false;
      blank_after_heading_ = sections_.back().rows.empty() && sections_.back().line > 0;
      return;
    }
    if (const auto part = letter_parts_.find(index_); part != letter_parts_.end()) return open_part(part->second, line);
    if (names_letter_part(trimmed(line.text))) return open_part(std::string(trimmed(line.text)), line);
    if (read_table_row(line)) return;
    if (states_only_key_or_meter(line) && read_facts(line)) return;
    const FormMarks marks = take_form_marks(line.text);
    if (trimmed(line.text).find_first_not_of("|()[] ") == std::string_view::npos) return mark_form(marks);
    if (read_order(line)) return;
    if (is_for_guitar(line.text)) return leave_out(line, "for the guitar");
    if (const auto heading = read_song_heading(line.text); heading && read_section_line(line, *heading)) {
      return mark_form(marks);
    }
    if (read_count_line(line)) return;
    if (read_row(line, 0)) return mark_form(marks);
    if (result_.fault) return;
    if (read_facts(line) || read_form_line(line)) return;
    read_words(line);
  }

  /// "3/4", "Fis-Dur": also where a chord has such a name.
  [[nodiscard]] bool states_only_key_or_meter(const SongLine& line) const {
    const std::string text = folded(line.text);
    if (parse_meter(text)) return true;
    const bool mode =
        text.ends_with("dur") || text.ends_with("moll") || text.ends_with("major") || text.ends_with("minor");
    return mode && !found_chords_ && chords_in(index_).chords == 1 && !chords_in(index_).barred;
  }

  /// "| Verse | Am | F |" in a table, and its row of titles.
  bool read_table_row(SongLine& line) {
    if (index_ + 1 < lines_.size() && lines_[index_ + 1].table_rule && !chords_in(index_).is_chords()) return true;
    if (!in_table_ || trimmed(line.text).front() != '|') return false;
    const std::size_t bar = line.text.find('|');
    const std::size_t next = line.text.find('|', bar + 1);
    if (next == line.text.npos) return false;
    const std::string cell(trimmed(std::string_view(line.text).substr(bar + 1, next - bar - 1)));
    if (const auto heading = read_song_heading(cell); heading && heading->rest >= cell.size()) {
      open_section(*heading, line);
    } else if (!cell.empty()) {
      return false;
    }
    read_row(line, next);
    return true;
  }

  // Sections.

  void open_part(std::string name, const SongLine& line) {
    SongHeading heading;
    heading.name = std::move(name);
    open_section(heading, line);
  }

  /// A letter alone, and there is a part of that name.
  [[nodiscard]] bool names_letter_part(std::string_view text) const {
    if (text.size() != 1 || !is_capital(text.front())) return false;
    return std::any_of(sections_.begin(), sections_.end(),
                       [&](const WrittenSection& each) { return each.name == text; });
  }

  bool read_section_line(SongLine& line, const SongHeading& heading) {
    const std::string_view rest = trimmed(std::string_view(line.text).substr(heading.rest));
    if (rest.empty()) {
      const bool chord_alone = !heading.known_word && chords_in(index_).is_chords();
      if (chord_alone) return false;
      open_section(heading, line);
      return true;
    }
    const TypedLine chords = read_typed_line(rest, habit_);
    if (chords.is_chords() && (!heading.bare || chords.chords > 1 || chords.barred || apart(line.text, heading.rest))) {
      const auto at = static_cast<std::size_t>(rest.data() - line.text.data());
      open_section(heading, line);
      read_row(line, at);
      return true;
    }
    if (!heading.bare && chords.chords > 0 && chords.chords >= chords.words) {
      open_section(heading, line);
      read_row(line, static_cast<std::size_t>(rest.data() - line.text.data()));
      return true;
    }
    if (heading.bare || !heading.known_word) return false;
    open_section(heading, line);
    leave_out(line, std::string(rest));
    return true;
  }

  static bool apart(std::string_view text, std::size_t rest) {
    return rest > 1 && rest <= text.size() && (text[rest - 1] == '\t' || text[rest - 1] == ' ');
  }

  void open_section(const SongHeading& heading, const SongLine& line) {
    close_section();
    if (result_.fault) return;
    WrittenSection section;
    section.name = heading.name;
    section.line = line.number;
    section.has_times = heading.has_times;
    section.times = heading.times;
    if (!check_times(section.times, line)) return;
    asked_ = heading.same_as;
    asked_line_ = index_;
    if (!heading.remark.empty()) read_remark(heading.remark, line);
    sections_.push_back(std::move(section));
    words_.clear();
    after_row_ = false;
    row_seen_ = false;
  }

  void read_remark(const std::string& remark, const SongLine& line) {
    const SongFacts facts = read_song_facts(remark, habit_.names);
    if (facts.states_something()) {
      apply(facts, line);
    } else {
      leave_out(line, remark);
    }
  }

  /// The section that was being read is whole: one without chords takes those of an earlier one.
  void close_section() {
    WrittenSection& section = sections_.back();
    const bool empty = section.rows.empty();
    if (!empty || section.line == 0) {
      asked_.clear();
      for (const std::size_t i : words_) leave_out(lines_[i], std::string(trimmed(lines_[i].text)));
      words_.clear();
      return;
    }
    const std::size_t found = section_for(section);
    if (found == sections_.size()) {
      if (!asked_.empty()) {
        const SongLine& line = lines_[asked_line_];
        std::string known;
        for (const WrittenSection& each : sections_) {
          if (!each.name.empty() && !each.rows.empty()) known += (known.empty() ? "" : ", ") + each.name;
        }
        const std::string wanted = asked_ == "same" ? section.name : asked_;
        fail(line, line.text.find_first_not_of(" \t"), trimmed(line.text).size(),
             fmt::format("there is no section \"{}\" before this line to play again", wanted),
             known.empty() ? "write its chords" : fmt::format("write its chords, or name one of these: {}", known));
        return;
      }
      leave_out(lines_[asked_line_], fmt::format("{}: a section without chords", section.name));
      for (const std::size_t i : words_) leave_out(lines_[i], std::string(trimmed(lines_[i].text)));
      words_.clear();
      sections_.pop_back();
      if (sections_.empty()) sections_.emplace_back();
      return;
    }
    const WrittenSection& source = sections_[found];
    section.recalls = source.name;
    section.rows = source.rows;
    if (!section.has_times) section.times = source.times;
    const bool same_name = heading_id(section.name) == heading_id(source.name);
    if (!asked_.empty() && heading_id(asked_) == heading_id(section.name)) section.name = source.name;
    if (same_name) section.name = source.name;
    if (!same_name) {
      decide(section.line, fmt::format("{} has no chords of its own: played as {}", section.name, source.name),
             asked_.empty());
    }
    asked_.clear();
    put_words_under(section);
  }

  /// The section whose chords one without its own has; the number of sections for none.
  [[nodiscard]] std::size_t section_for(const WrittenSection& section) const {
    const bool same = asked_ == "same";
    const std::string wanted = asked_.empty() || same ? section.name : asked_;
    const std::string id = heading_id(wanted);
    const std::string kind = heading_kind(wanted);
    std::size_t by_kind = sections_.size();
    std::size_t last = sections_.size();
    for (std::size_t i = sections_.size() - 1; i-- > 0;) {
      const WrittenSection& each = sections_[i];
      if (each.rows.empty()) continue;
      if (heading_id(each.name) == id) return i;
      if (by_kind == sections_.size() && heading_kind(each.name) == kind) by_kind = i;
      if (last == sections_.size()) last = i;
    }
    return by_kind < sections_.size() || !same ? by_kind : last;
  }

  /// Words of a section that has the chords of another: a line of words for each line of chords.
  void put_words_under(WrittenSection& section) {
    if (words_.empty()) return;
    for (WrittenRow& row : section.rows) row.words.clear();
    const bool fits = words_.size() == section.rows.size();
    for (std::size_t i = 0; i < words_.size(); ++i) {
      const SongLine& line = lines_[words_[i]];
      if (fits) {
        section.rows[i].words = {"", std::string(trimmed(line.text))};
      } else {
        leave_out(line, std::string(trimmed(line.text)));
      }
    }
    words_.clear();
  }

  // Lines of chords.

  bool read_row(SongLine& line, std::size_t from) {
    const std::string_view text = std::string_view(line.text).substr(from);
    TypedLine typed = read_typed_line(text, habit_);
    for (LineItem& item : typed.items) item.at += from;
    const bool inline_chords = typed.bracketed && typed.words > 0;
    if (!typed.is_chords() && !inline_chords) {
      if (must_be_chords(line, typed)) fail_at_word(line, typed);
      return false;
    }
    // A last chord that stands apart from "Chorus", which has its chords above.
    if (blank_after_heading_ && from == 0 && typed.chords == 1 && !typed.barred &&
        section_for(sections_.back()) < sections_.size()) {
      close_section();
      sections_.emplace_back();
    }
    blank_after_heading_ = false;
    RowSettings settings{meter_, line.number, line.raw, last_bar_};
    RowReading row = read_song_row(typed, line.text, settings);
    if (row.fault) {
      row.fault->source = source_;
      result_.fault = std::move(row.fault);
      return false;
    }
    for (const std::string& remark : row.remarks) leave_out(line, remark);
    for (const std::string& decision : row.decisions) decide(line.number, decision, true);
    if (row.row.bars.empty()) return true;
    found_chords_ = true;
    bars_ += row.row.bars.size();
    if (bars_ > most_bars_played) {
      fail(line, 0, line.text.size(), fmt::format("the song has more than {} bars", most_bars_played), "split it");
      return false;
    }
    row.row.comment = line.comment;
    last_bar_ = row.row.bars.back().slots;
    sections_.back().rows.push_back(std::move(row.row));
    after_row_ = !inline_chords;
    row_seen_ = true;
    row_items_ = std::move(typed);
    row_line_ = index_;
    return true;
  }

  /// Whether a line that is no chords altogether was meant to be: among chords a token that is none is a fault.
  [[nodiscard]] bool must_be_chords(const SongLine& line, const TypedLine& typed) const {
    if (typed.words == 0) return false;
    std::size_t plain = 0;
    for (const LineItem& item : typed.items) {
      if (item.kind != LineItem::Kind::word) continue;
      plain += is_plain_word(std::string_view(line.text).substr(item.at, item.length)) ? 1 : 0;
    }
    const std::size_t odd = typed.words - plain;
    if (typed.barred) return typed.chords > 0 && plain <= typed.chords;
    return (typed.chords > 0 && odd > 0 && plain == 0) || (typed.chords > 2 && typed.words * 3 <= typed.chords);
  }

  void fail_at_word(const SongLine& line, const TypedLine& typed) {
    for (const LineItem& item : typed.items) {
      if (item.kind != LineItem::Kind::word) continue;
      const TextError error = unknown_chord(std::string_view(line.text).substr(item.at, item.length));
      return fail(line, item.at, item.length, error.message, error.hint);
    }
  }

  /// "(x2)" on a line of its own: the section so far.
  bool read_count_line(const SongLine& line) {
    std::string_view text = trimmed(line.text);
    if (text.size() > 2 && text.front() == '(' && text.back() == ')') text = text.substr(1, text.size() - 2);
    const auto count = read_count(folded(text));
    if (!count || count->bars || sections_.back().rows.empty()) return false;
    if (!check_times(count->number, line)) return true;
    sections_.back().times *= count->number;
    sections_.back().has_times = true;
    const std::string& name = sections_.back().name;
    decide(line.number,
           fmt::format("{} played {} times: the count stands alone", name.empty() ? "the part" : name, count->number),
           true);
    return true;
  }

  bool check_times(int times, const SongLine& line) {
    if (times <= most_times) return true;
    fail(line, 0, line.text.size(), fmt::format("more than {} times", most_times), "write a smaller number");
    return false;
  }

  void mark_form(const FormMarks& marks) {
    WrittenSection& section = sections_.back();
    if (marks.jump != Jump::none) section.jump = marks.jump;
    if (section.rows.empty()) return;
    if (marks.fine) section.rows.back().bars.back().fine = true;
    if (marks.to_coda) section.rows.back().bars.back().to_coda = true;
    if (marks.segno) section.rows.back().bars.front().segno = true;
  }

  // Lines of words.

  bool read_facts(const SongLine& line) {
    const SongFacts facts = read_song_facts(line.text, habit_.names);
    if (!facts.bad_value.empty()) {
      const std::size_t at = line.text.find(facts.bad_value);
      const bool meter = facts.bad_value.find('/') != facts.bad_value.npos;
      const TextError key = key_error(facts.bad_value);
      fail(line, at, facts.bad_value.size(),
           meter ? fmt::format("unknown or second meter \"{}\"", facts.bad_value) : key.message,
           meter ? "choose 2/4, 3/4, 4/4, 5/4, 6/8, 9/8 or 12/8, once before the first bar" : key.hint);
      return true;
    }
    const bool texts = !facts.title.empty() || !facts.style.empty() || !facts.author.empty() || facts.guitar;
    if (!facts.states_something() && !texts) return false;
    // A line under chords is sung, whatever words it has; but not a line that only states a meter, key or tempo.
    if (after_row_ && !facts.other.empty()) return false;
    apply(facts, line);
    if (!facts.title.empty() && !seen_title_) {
      song().title = facts.title;
      seen_title_ = true;
    }
    if (!facts.style.empty() && song().style.empty()) song().style = facts.style;
    if (!facts.author.empty()) leave_out(line, facts.author);
    for (const std::string& part : facts.other) {
      const bool late = seen_title_ || found_chords_ || sections_.size() > 1;
      if (facts.guitar || late || is_letter_text(part) || is_character(part)) {
        leave_out(line, part);
      } else {
        set_title(part, line);
      }
    }
    return true;
  }

  void apply(const SongFacts& facts, const SongLine& line) {
    if (facts.key) change_key(*facts.key, line);
    if (facts.tempo_bpm) change_tempo(*facts.tempo_bpm, line);
    if (facts.meter) change_meter(*facts.meter, line);
    if (facts.capo) {
      song().capo = *facts.capo;
      result_.capo_line = line.number;
    }
  }

  void change_key(const KeyText& key, const SongLine& line) {
    if (!song().key && !found_chords_) {
      song().key = key;
    } else if (found_chords_) {
      decide(line.number,
             fmt::format("a change of key to {}: the chords are taken as they are written", to_string(key.tonic)),
             false);
    }
  }

  void change_tempo(double bpm, const SongLine& line) {
    if (!found_chords_ && !song().tempo_bpm) {
      song().tempo_bpm = bpm;
    } else if (!row_seen_ && sections_.size() > 1) {
      sections_.back().tempo_bpm = bpm;
    } else {
      leave_out(line, fmt::format("the tempo {} inside a section", bpm));
    }
  }

  void change_meter(Meter meter, const SongLine& line) {
    if (!found_chords_ && song().written_meter && *song().written_meter != meter) {
      fail(line, line.text.find_first_not_of(" \t"), trimmed(line.text).size(),
           fmt::format("the meter is {} already, and {} comes before the first bar", to_string(*song().written_meter),
                       to_string(meter)),
           "keep one of the two");
      return;
    }
    if (!found_chords_) {
      song().written_meter = meter;
    } else if (meter != meter_) {
      leave_out(line, fmt::format("the change to {}: every bar is played in {}", to_string(meter),
                                  to_string(song().meter())));
    }
    meter_ = meter;
  }

  /// "Form: A A B A", "Order: verse, chorus, verse": before the chords it is kept for the end.
  bool read_order(const SongLine& line) {
    const std::string small = folded(line.text);
    const std::size_t named = song_word_at_start(SongWord::form, small);
    const std::size_t colon = line.text.find(':');
    if (named == 0 || colon == line.text.npos || trimmed(small.substr(named)).front() != ':') return false;
    const std::string_view steps = trimmed(std::string_view(line.text).substr(colon + 1));
    order_.clear();
    if (steps.find_first_not_of("ABCDEFGH ,-") == steps.npos) {
      for (const char c : steps) {
        if (is_capital(c)) order_.push_back({std::string(1, c), false, 1, {}});
      }
    } else {
      order_ = read_form(steps).value_or(std::vector<FormStep>());
    }
    if (order_.empty()) {
      leave_out(line, std::string(trimmed(line.text)));
    } else {
      order_line_ = index_;
    }
    return true;
  }

  /// Where fewer sections are written than the order names, the song is played in that order.
  void put_in_order() {
    if (order_.size() <= sections_.size()) return;
    std::vector<WrittenSection> ordered;
    for (const FormStep& step : order_) {
      const std::string& name = step.name;
      const auto found = std::find_if(sections_.begin(), sections_.end(), [&](const WrittenSection& each) {
        return heading_id(each.name) == heading_id(name) || heading_kind(each.name) == heading_kind(name);
      });
      if (found == sections_.end())
        return leave_out(lines_[order_line_], std::string(trimmed(lines_[order_line_].text)));
      ordered.push_back(*found);
      if (step.has_times) ordered.back().times = step.times;
    }
    decide(lines_[order_line_].number, "played in the order of this line", false);
    sections_ = std::move(ordered);
  }

  /// "Then verse again, chorus twice, and it ends on F."
  bool read_form_line(const SongLine& line) {
    const auto steps = read_form(trimmed(line.text));
    if (!steps || !found_chords_) return false;
    for (const FormStep& step : *steps) {
      SongHeading heading;
      heading.name = step.name;
      heading.has_times = step.has_times;
      heading.times = step.times;
      heading.same_as = step.name;
      open_section(heading, line);
      if (result_.fault) return true;
      if (step.chord.empty()) continue;
      if (const auto symbol = read_typed_chord(step.chord, habit_)) {
        asked_.clear();
        WrittenRow row;
        row.bars.emplace_back();
        row.bars.back().slots.push_back({as_content(*symbol), {line.number, 1, 1}});
        sections_.back().rows.push_back(std::move(row));
      }
    }
    close_section();
    if (result_.fault) return true;
    sections_.emplace_back();
    decide(line.number, "the order of the sections taken from a sentence", true);
    return true;
  }

  void read_words(SongLine& line) {
    const std::string text(trimmed(line.text));
    const bool before = !found_chords_ && sections_.size() == 1;
    if (before) {
      const bool title = !seen_title_ && !is_letter_text(text) && !is_character(text);
      return title ? set_title(text, line) : leave_out(line, text);
    }
    if (after_row_ && !is_letter_text_after(line)) {
      put_words(sections_.back().rows.back(), line);
      after_row_ = false;
      return;
    }
    const bool own_section = sections_.back().rows.empty() && sections_.back().line > 0;
    if (own_section && read_same_line(line)) return;
    if (own_section) {
      words_.push_back(index_);
    } else {
      leave_out(line, text);
    }
  }

  /// "(same as verse 1)" under a heading.
  bool read_same_line(const SongLine& line) {
    std::string_view text = trimmed(line.text);
    if (text.size() > 2 && text.front() == '(' && text.back() == ')') text = text.substr(1, text.size() - 2);
    const auto heading = read_song_heading(sections_.back().name + " " + std::string(text));
    if (!heading || heading->same_as.empty()) return false;
    asked_ = heading->same_as;
    asked_line_ = index_;
    return true;
  }

  [[nodiscard]] static bool is_letter_text_after(const SongLine& line) {
    return song_word_at_start(SongWord::greeting, folded(line.text)) > 0 && line.text.find(',') != line.text.npos &&
           line.was_quoted;
  }

  /// The words under a line of chords, parted where its chords stand.
  void put_words(WrittenRow& row, const SongLine& line) {
    row.words = words_at_chords(row_items_, lines_[row_line_].raw, line.raw);
    after_row_ = false;
  }

  void take_title(const SongLine& line) {
    std::string_view text = line.comment;
    while (!text.empty() && (text.front() == '#' || text.front() == ' ')) text.remove_prefix(1);
    set_title(std::string(text), line);
  }

  void set_title(const std::string& text, const SongLine& line) {
    song().title = text;
    seen_title_ = true;
    decide(line.number, fmt::format("\"{}\" taken as the title", text), false);
  }

  void keep_comment(const SongLine& line) { leave_out(line, line.comment); }

  // The end.

  void finish() {
    if (!found_chords_) {
      result_.nothing_found = true;
      SongLine first;
      first.number = lines_.empty() ? 0 : 1;
      return fail(first, 0, 1, "no chords in the text", "write some, like \"| C | Am | F | G |\"");
    }
    std::erase_if(sections_, [](const WrittenSection& section) { return section.rows.empty(); });
    put_in_order();
    auto [played, too_long_at] = played_out(sections_);
    if (too_long_at > 0) {
      const SongLine& line = lines_[static_cast<std::size_t>(too_long_at) - 1];
      return fail(line, 0, line.text.size(), fmt::format("the song has more than {} bars as played", most_bars_played),
                  "repeat less often");
    }
    song().notation = habit_.notation;
    for (PlayedSection& each : played) {
      const WrittenSection& written = sections_[each.written];
      SectionReading section{written.name, 0, written.recalls, each.times};
      for (const Row& row : each.rows) section.bars += static_cast<int>(row.bars.size());
      result_.reading.sections.push_back(std::move(section));
      song().sections.push_back({written.name, std::move(each.rows), written.tempo_bpm});
    }
  }

  // Notes and faults.

  Progression& song() { return result_.reading.progression; }

  void decide(int line, std::string text, bool doubtful) {
    result_.reading.decisions.push_back({line, std::move(text), doubtful});
  }

  void leave_out(const SongLine& line, std::string text) {
    if (text == "for the guitar") text = fmt::format("for the guitar: {}", trimmed(line.text));
    result_.reading.left_out.push_back({line.number, std::move(text), false});
  }

  void fail(const SongLine& line, std::size_t at, std::size_t length, std::string message, std::string hint) {
    if (result_.fault) return;
    TextError error;
    error.message = std::move(message);
    error.hint = std::move(hint);
    at = std::min(at, line.raw.size());
    const auto column = static_cast<int>(code_points(line.raw.substr(0, at))) + 1;
    error.place = {line.number, column, std::max(1, static_cast<int>(code_points(line.raw.substr(at, length))))};
    error.line_text = std::string(line.raw);
    error.source = source_;
    result_.fault = std::move(error);
  }

  static constexpr int most_times = 99;

  std::vector<SongLine> lines_;
  std::optional<NoteNames> stated_;
  std::string source_;
  ChordHabit habit_;
  std::map<std::size_t, std::string> letter_parts_;  // by the index of their line
  AssembledSong result_;
  std::vector<WrittenSection> sections_;
  std::vector<std::size_t> words_;  // lines of words in a section that has no chords yet
  std::vector<FormStep> order_;     // as a line says
  std::size_t order_line_ = 0;
  std::vector<Slot> last_bar_;
  TypedLine row_items_;  // of the last line of chords
  std::size_t row_line_ = 0;
  std::size_t index_ = 0;
  std::string asked_;  // the section that the open one wants to be like
  std::size_t asked_line_ = 0;
  std::size_t bars_ = 0;
  Meter meter_;
  bool found_chords_ = false, in_table_ = false, seen_title_ = false, after_row_ = false, row_seen_ = false,
       blank_after_heading_ = false;
};

}  // namespace

AssembledSong assemble_song(std::string_view text, const std::string& source, std::optional<NoteNames> names) {
  return SongAssembler(text, source, names).assemble();
}

}  // namespace romanesca
