#pragma once

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "theory/songs/song_form.h"
#include "theory/songs/song_heading.h"
#include "theory/songs/song_line_kinds.h"
#include "theory/songs/song_notes.h"

namespace romanesca {

/// The sections of a song while its lines are read: which is open, and whose chords one without its own has.
class SongSections {
 public:
  /// @param lines of the whole text, for the places of what is told
  SongSections(const std::vector<SongLine>& lines, SongNotes& notes) : lines_(lines), notes_(notes) {
    sections_.emplace_back();
  }

  [[nodiscard]] WrittenSection& current() { return sections_.back(); }
  /// A repeat was opened in the open section and not closed yet.
  [[nodiscard]] bool inside_repeat() const { return inside_repeat_; }
  [[nodiscard]] bool any_headed() const { return sections_.size() > 1; }
  /// A heading was read, and no chords after it.
  [[nodiscard]] bool waits_for_chords() const { return sections_.back().rows.empty() && sections_.back().line > 0; }
  /// A part with a letter for its name is there.
  [[nodiscard]] bool has_letter_part(std::string_view text) const { return letters_.contains(std::string(text)); }

  /// Begins a section. @param line index of its heading
  void open(const SongHeading& heading, std::size_t line);
  /// Begins one without a name.
  void open_unnamed();
  /// What counts after a section that was played again by its name, once.
  [[nodiscard]] std::optional<SongChange> take_recalled() { return std::exchange(recalled_, std::nullopt); }
  /// The open section is to have the chords of another. @param line index of the line that says so
  void ask(const std::string& name, std::size_t line);
  void add_row(WrittenRow row);
  /// A line of words in a section that has no chords yet. @param line its index
  void add_words(std::size_t line) { words_.push_back(line); }
  void multiply(int times, const SongLine& line);
  /// What a line says of the form. @param with_bars it has bars of its own; else a sign stands before the next ones
  void mark(const FormMarks& marks, bool with_bars);
  /// Whether an earlier section has the chords of the open one.
  [[nodiscard]] bool is_recall() const { return source_of(sections_.back()) < sections_.size(); }

  /// The open section is whole: one without chords takes those of an earlier one.
  void close();
  /// Where fewer sections are written than the order names, the song is played in that order. @param line index of the
  /// line that names it
  void put_in_order(const std::vector<FormStep>& order, std::size_t line);
  /// Plays the form out into the reading. @param first what counts in the song's first bar
  void play_into(SongReading& reading, const SongChange& first);

 private:
  bool check_times(int times, const SongLine& line);
  [[nodiscard]] std::size_t source_of(const WrittenSection& section) const;
  void fail_without_source(const WrittenSection& section);
  void take_chords(WrittenSection& section, const WrittenSection& source);
  void move_to_stated_key(WrittenSection& section);
  void put_words_under(WrittenSection& section);
  void leave_words_out();
  void remember(std::size_t index);

  const std::vector<SongLine>& lines_;
  SongNotes& notes_;
  std::vector<WrittenSection> sections_;
  std::map<std::string, std::size_t> by_id_, by_kind_;  // the last section with chords of a name, and of a kind
  std::set<std::string> letters_;
  std::vector<std::size_t> words_;
  std::string asked_;         // the section that the open one is to be like; "same" for the one before
  bool segno_comes_ = false;  // before the next row
  std::size_t asked_line_ = 0;
  std::size_t bars_ = 0;
  bool inside_repeat_ = false;
  std::optional<SongChange> recalled_;
};

}  // namespace romanesca
