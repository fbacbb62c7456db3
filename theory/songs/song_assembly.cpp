#include "theory/songs/song_assembly.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "theory/songs/header_text.h"
#include "theory/songs/song_changes.h"
#include "theory/songs/song_facts.h"
#include "theory/songs/song_heading.h"
#include "theory/songs/song_line_kinds.h"
#include "theory/songs/song_lines.h"
#include "theory/songs/song_rows.h"
#include "theory/songs/song_sections.h"
#include "theory/songs/song_tune_lines.h"
#include "theory/songs/song_words.h"
#include "theory/songs/typed_line.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

class SongAssembler {
 public:
  SongAssembler(std::string_view text, const std::string& source, const SongReadingSettings& settings)
      : lines_(song_lines(text)),
        stated_names_(settings.names),
        usual_(settings.usual_names),
        notes_(source),
        sections_(lines_, notes_),
        changes_(result_.reading.progression, sections_, notes_),
        tunes_(sections_, notes_) {}

  AssembledSong assemble() {
    find_habit();
    for (index_ = 0; index_ < lines_.size() && !notes_.fault; ++index_) read_line();
    if (!notes_.fault) sections_.close();
    if (!notes_.fault) tunes_.finish();
    if (!notes_.fault) finish();
    result_.fault = std::move(notes_.fault);
    result_.reading.decisions = std::move(notes_.decisions);
    result_.reading.left_out = std::move(notes_.left_out);
    return std::move(result_);
  }

 private:
  // What the whole text shows.

  void find_habit() {
    for (const SongLine& line : lines_) {
      const auto facts = read_song_facts(line.text, NoteNames::english);
      if (facts.names && !stated_names_) stated_names_ = facts.names;
      seen_title_ = seen_title_ || !facts.title.empty();
    }
    const HabitFound found = habit_of(lines_, stated_names_, usual_);
    habit_ = found.habit;
    song().names = stated_names_.value_or(habit_.names);
    if (habit_.names == NoteNames::german) {
      const std::string shown = found.shown_by_line > 0 ? fmt::format(", since {} occurs", found.shown_by)
                                : !stated_names_ && usual_ == NoteNames::german ? ", as your setting says"
                                                                                : "";
      decide(found.shown_by_line, fmt::format("German names of notes: H is B, B is B flat{}", shown), !stated_names_,
             {{0, "names: english"}});
      tunes_.tell_letters();
    } else if (habit_.names == NoteNames::solfege) {
      decide(0, "names of notes read as Do Re Mi: Do is C", false);
    } else if (habit_.small == SmallLetters::as_capitals) {
      decide(0, "lower case read as chord names", false);
    } else if (habit_.small == SmallLetters::minor) {
      decide(0, "chords in lower case read as minor", true, {{0, "names: english"}});
    }
    letter_parts_ = letter_parts(lines_, habit_);
    if (!letter_parts_.empty()) {
      std::vector<LineEdit> as_chords;
      for (const auto& [line, name] : letter_parts_) {
        as_chords.push_back({lines_[line].number, fmt::format("| {} |", lines_[line].text)});
      }
      const int first = as_chords.front().line;
      decide(first, "letters on their own lines read as names of parts", true, std::move(as_chords));
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
      if (line.title_mark && !seen_title_ && !sections_.any_headed() && !found_chords_) return take_title(line);
      if (line.title_mark || !line.comment.empty()) return leave_out(line, line.comment);
      after_row_ = false;
      tunes_.close();
      blank_after_heading_ = sections_.waits_for_chords();
      return;
    }
    if (read_tune(line)) return;
    if (const auto part = letter_parts_.find(index_); part != letter_parts_.end()) return open_part(part->second, line);
    if (const auto letter = without_brackets(line.text); sections_.has_letter_part(letter))
      return open_part(std::string(letter), line);
    if (read_table_row(line)) return;
    if (states_only_key_or_meter(line) && read_facts(line)) return;
    const FormMarks marks = take_form_marks(line.text);
    if (trimmed(line.text).find_first_not_of("|()[] ") == std::string_view::npos) return sections_.mark(marks, false);
    if (read_order(line)) return;
    if (is_for_guitar(line.text)) return leave_out(line, fmt::format("for the guitar: {}", trimmed(line.text)));
    if (const auto heading = read_song_heading(line.text); heading && read_section_line(line, *heading)) {
      return sections_.mark(marks, false);
    }
    if (read_count_line(line)) return;
    if (read_row(line, 0)) return sections_.mark(marks, true);
    if (notes_.fault) return;
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
    if (next == std::string_view::npos) return false;
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

  bool read_section_line(SongLine& line, const SongHeading& heading) {
    const std::string_view rest = trimmed(std::string_view(line.text).substr(heading.rest));
    if (rest.empty()) {
      const bool chord_alone = !heading.known_word && chords_in(index_).is_chords();
      if (chord_alone) return false;
      open_section(heading, line);
      return true;
    }
    const TypedLine chords = read_typed_line(rest, habit_);
    const bool apart = heading.rest > 1 && (line.text[heading.rest - 1] == '\t' || line.text[heading.rest - 1] == ' ');
    if (chords.is_chords() && (!heading.bare || chords.chords > 1 || chords.barred || apart)) {
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

  void read_remark(const std::string& remark, const SongLine& line) {
    const SongFacts facts = read_song_facts(remark, habit_.names);
    if (facts.states_something()) {
      apply(facts, line);
    } else {
      leave_out(line, remark);
    }
  }

  // Lines of chords.

  bool read_row(SongLine& line, std::size_t from) {
    const std::string_view text = std::string_view(line.text).substr(from);
    TypedLine typed = read_typed_line(text, habit_);
    for (LineItem& item : typed.items) item.at += from;
    const bool inline_chords = typed.bracketed && typed.words > 0;
    if (!typed.is_chords() && !inline_chords) {
      if (const LineItem* const slip = slip_among_chords(line.text, typed)) {
        const TextError error = unknown_chord(std::string_view(line.text).substr(slip->at, slip->length));
        fail(line, slip->at, slip->length, error.message, error.hint);
      }
      return false;
    }
    // A last chord that stands apart from "Chorus", which has its chords above.
    if (blank_after_heading_ && from == 0 && typed.chords == 1 && !typed.barred && sections_.is_recall()) {
      sections_.open_unnamed();
    }
    blank_after_heading_ = false;
    RowSettings settings{changes_.meter(), line.number, line.raw, last_bar_, sections_.inside_repeat()};
    RowReading row = read_song_row(typed, line.text, settings);
    if (row.fault) {
      notes_.fail(std::move(*row.fault));
      return false;
    }
    for (const std::string& remark : row.remarks) leave_out(line, remark);
    for (const std::string& decision : row.decisions) decide(line.number, decision, true);
    if (row.row.bars.empty()) return true;
    found_chords_ = true;
    row.row.comment = line.comment;
    row.row.counts = changes_.counting();
    last_bar_ = row.row.bars.back().slots;
    after_row_ = !tunes_.add_chords(std::move(row.row), line.number) && !inline_chords;
    row_seen_ = true;
    row_items_ = std::move(typed);
    row_line_ = index_;
    return true;
  }

  /// "tune: C2 D2 | E4" under a line of chords or with bars of its own, and the words under it.
  bool read_tune(const SongLine& line) {
    if (!tunes_.read(line, index_, changes_)) return false;
    if (notes_.fault || sections_.current().rows.empty()) return true;
    found_chords_ = row_seen_ = true;
    after_row_ = false;
    last_bar_ = sections_.current().rows.back().bars.back().slots;
    return true;
  }

  /// "(x2)" on a line of its own: the section so far.
  bool read_count_line(const SongLine& line) {
    std::string_view text = trimmed(line.text);
    if (text.size() > 2 && text.front() == '(' && text.back() == ')') text = text.substr(1, text.size() - 2);
    const auto count = read_count(folded(text));
    if (!count || count->bars || sections_.current().rows.empty()) return false;
    sections_.multiply(count->number, line);
    return true;
  }

  // Lines of words.

  bool read_facts(const SongLine& line) {
    const SongFacts facts = read_song_facts(line.text, habit_.names);
    if (!facts.bad_value.empty()) {
      const std::size_t at = line.text.find(facts.bad_value);
      const TextError error = value_error(facts);
      fail(line, at, facts.bad_value.size(), error.message, error.hint);
      return true;
    }
    const bool texts = !facts.title.empty() || !facts.style.empty() || facts.has_credits() || facts.guitar;
    if (!facts.states_something() && !texts) return false;
    // A line under chords is sung, whatever words it has; but not a line that only states a meter, key or tempo.
    const bool credits_alone = facts.has_credits() && line.text.find(':') == std::string_view::npos;
    if (after_row_ && (!facts.other.empty() || credits_alone)) return false;
    apply(facts, line);
    if (!facts.title.empty() && song().title.empty()) song().title = facts.title;
    if (!facts.style.empty() && song().style.empty()) song().style = facts.style;
    if (!facts.composer.empty() && !song().composer.empty()) leave_out(line, facts.composer);
    if (song().composer.empty()) song().composer = facts.composer;
    if (!facts.author.empty()) leave_out(line, facts.author);
    for (const std::string& part : facts.other) {
      const bool late = seen_title_ || found_chords_ || sections_.any_headed();
      if (facts.guitar || late || is_letter_text(part) || is_character(part)) {
        leave_out(line, part);
      } else {
        set_title(part, line);
      }
    }
    return true;
  }

  void apply(const SongFacts& facts, const SongLine& line) {
    const StatementPlace place{!found_chords_, row_seen_};
    if (facts.key) changes_.state_key(*facts.key, place, line);
    if (facts.tempo_bpm) changes_.state_tempo(*facts.tempo_bpm, place, line);
    if (facts.meter) changes_.state_meter(*facts.meter, facts.other_meter, place, line);
    if (facts.capo) {
      song().capo = *facts.capo;
      result_.capo_line = line.number;
    }
  }

  /// "Form: A A B A", "Order: verse, chorus, verse": before the chords it is kept for the end.
  bool read_order(const SongLine& line) {
    const std::string small = folded(line.text);
    const std::size_t named = song_word_at_start(SongWord::form, small);
    const std::size_t colon = line.text.find(':');
    if (named == 0 || colon == std::string_view::npos || trimmed(small.substr(named)).front() != ':') return false;
    const std::string_view steps = trimmed(std::string_view(line.text).substr(colon + 1));
    order_.clear();
    if (steps.find_first_not_of("ABCDEFGH ,-") == std::string_view::npos) {
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
      if (notes_.fault) return true;
      if (step.chord.empty()) continue;
      if (const auto symbol = read_typed_chord(step.chord, habit_)) {
        WrittenRow row;
        row.counts = changes_.counting();
        row.bars.emplace_back();
        row.bars.back().slots.push_back({as_content(*symbol), {line.number, 1, 1}});
        sections_.add_row(std::move(row));
      }
    }
    sections_.open_unnamed();
    decide(line.number, "the order of the sections taken from a sentence", true,
           {{line.number, fmt::format("# {}", line.raw)}});
    return true;
  }

  void read_words(SongLine& line) {
    const std::string text(trimmed(line.text));
    const bool before = !found_chords_ && !sections_.any_headed();
    if (before) {
      // "name: value" with a name that says nothing here is no title.
      const bool named = text.find(':') < text.find(' ') && text.find(':') != std::string_view::npos;
      const bool title = !seen_title_ && !named && !is_letter_text(text) && !is_character(text);
      return title ? set_title(text, line) : leave_out(line, text);
    }
    if (tunes_.put_words(line)) return;
    if (after_row_) return put_words(sections_.current().rows.back(), line);
    // "Chorus", a blank line, "Thanks!": the letter goes on, the chorus does not.
    if (blank_after_heading_ && is_letter_text(text)) sections_.open_unnamed();
    const bool own_section = sections_.waits_for_chords();
    if (own_section && read_same_line(line)) return;
    if (own_section) return sections_.add_words(index_);
    leave_out(line, text);
  }

  /// "(same as verse 1)" under a heading.
  bool read_same_line(const SongLine& line) {
    std::string_view text = trimmed(line.text);
    if (text.size() > 2 && text.front() == '(' && text.back() == ')') text = text.substr(1, text.size() - 2);
    const auto heading = read_song_heading(sections_.current().name + " " + std::string(text));
    if (!heading || heading->same_as.empty()) return false;
    sections_.ask(heading->same_as, index_);
    return true;
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

  // The end.

  void finish() {
    if (!found_chords_) {
      result_.nothing_found = true;
      SongLine first;
      first.number = lines_.empty() ? 0 : 1;
      return notes_.fail(first, 0, 1, "no chords in the text", "write some, like \"| C | Am | F | G |\"");
    }
    if (!order_.empty()) sections_.put_in_order(order_, order_line_);
    song().notation = habit_.notation;
    sections_.play_into(result_.reading, {song().meter(), song().key, song().tempo_bpm});
  }

  void open_section(const SongHeading& heading, const SongLine& line) {
    sections_.open(heading, index_);
    if (notes_.fault) return;
    changes_.begin_section();
    if (!heading.remark.empty()) read_remark(heading.remark, line);
    after_row_ = row_seen_ = false;
    tunes_.close();
  }

  Progression& song() { return result_.reading.progression; }
  void decide(int line, std::string text, bool doubtful, std::vector<LineEdit> otherwise = {}) {
    notes_.decide(line, std::move(text), doubtful, std::move(otherwise));
  }
  void leave_out(const SongLine& line, std::string text) { notes_.leave_out(line, std::move(text)); }
  void fail(const SongLine& line, std::size_t at, std::size_t length, std::string message, std::string hint) {
    notes_.fail(line, at, length, std::move(message), std::move(hint));
  }

  std::vector<SongLine> lines_;
  std::optional<NoteNames> stated_names_;
  NoteNames usual_;
  ChordHabit habit_;
  std::map<std::size_t, std::string> letter_parts_;  // by the index of their line
  AssembledSong result_;
  SongNotes notes_;
  SongSections sections_;
  SongChanges changes_;
  SongTuneLines tunes_;
  std::vector<FormStep> order_;  // as a line says
  std::size_t order_line_ = 0;
  std::vector<Slot> last_bar_;
  TypedLine row_items_;  // of the last line of chords
  std::size_t row_line_ = 0;
  std::size_t index_ = 0;
  bool found_chords_ = false, in_table_ = false, seen_title_ = false, after_row_ = false, row_seen_ = false,
       blank_after_heading_ = false;
};

}  // namespace

AssembledSong assemble_song(std::string_view text, const std::string& source, const SongReadingSettings& settings) {
  return SongAssembler(text, source, settings).assemble();
}

}  // namespace romanesca
