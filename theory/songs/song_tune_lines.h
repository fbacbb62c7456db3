#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "theory/songs/song_changes.h"
#include "theory/songs/song_form.h"
#include "theory/songs/song_notes.h"
#include "theory/songs/song_sections.h"

namespace romanesca {

/// "tune: C2 D2 | E4 |".
[[nodiscard]] bool is_tune_line(std::string_view line);
/// "words: Row the boat".
[[nodiscard]] bool is_words_line(std::string_view line);

[[nodiscard]] bool has_tune(const WrittenRow& row);
/// Its last note is tied to one in the next line.
[[nodiscard]] bool ends_tied(const WrittenRow& row);

/// Puts a line of words, with or without "words:" before it, under the notes of a row and under its chords.
/// @param tied_before a note before the row is tied to its first one
/// Remembers a fault: more syllables than notes; tells where there are fewer.
/// @param verse from 0; the first takes the words of all verses away that stood there, and stands under the chords
void put_words_to_tune(const SongLine& line, WrittenRow& row, bool tied_before, SongNotes& notes,
                       std::size_t verse = 0);

/// The lines of a typed song's tune, one after the other.
class SongTuneLines {
 public:
  SongTuneLines(SongSections& sections, SongNotes& notes) : sections_(sections), notes_(notes) {}

  /// A row of chords: a new one, or the chords of a tune that stands right above it without chords, in as many bars.
  /// @param line its number @return whether they were those of a tune above
  bool add_chords(WrittenRow row, int line);
  /// Chords have German names: that the tune has not is told with its first line.
  void tell_letters() { tells_letters_ = true; }
  /// A blank line or heading: what follows belongs to no line above.
  void close() {
    row_open_ = false;
    next_verse_.reset();
  }

  /// Reads a line of the tune, or labelled words under one or under a recalled section; false for any other line. A
  /// tune that stands under no chords gets a row of bars without chords. @param index of the line
  bool read(const SongLine& line, std::size_t index, const SongChanges& changes);
  /// Takes any line as words where the one before was of the tune; after a line of words only labelled ones, each as
  /// one more verse.
  bool put_words(const SongLine& line);
  /// The whole text is read: lines that end too early, and a tie without an end, are faults.
  void finish();

 private:
  void read_notes(const SongLine& line, WrittenRow& row, Meter meter);

  struct ShortEnd {
    const SongLine* line = nullptr;
    std::size_t at = 0, length = 0;
    Beats missing;      ///< what an upbeat may take; 0 where none can follow
    std::string lasts;  ///< "3 beats"
    Meter meter;
  };

  SongSections& sections_;
  SongNotes& notes_;
  bool row_open_ = false, tells_letters_ = false;
  std::optional<std::size_t> next_verse_;  ///< that the next line may be, right under a tune or its words
  Beats unit_{1, 2};
  std::optional<Pitch> tied_to_;
  const SongLine* tied_line_ = nullptr;
  bool tied_before_ = false;
  int bare_line_ = 0;  ///< the line of the last row, where it is a tune without chords
  std::vector<Beats> upbeats_;
  std::vector<ShortEnd> short_ends_;
};

}  // namespace romanesca
