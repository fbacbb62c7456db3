#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "theory/songs/chord_names.h"
#include "theory/songs/progression.h"
#include "theory/text/errors.h"

namespace romanesca {

/// A change of one line of a text.
struct LineEdit {
  int line = 0;      ///< the line to be replaced, from 1; 0 for a new line before the first
  std::string text;  ///< what stands there then; empty where the line is taken out
};

/// Something that was decided about a text, or left out of it.
struct SongNote {
  int line = 0;                       ///< from 1; 0 for the whole text
  std::string text;                   ///< "lower case read as chord names"
  bool doubtful = false;              ///< a musician who does not know the song could read it otherwise
  std::vector<LineEdit> otherwise{};  ///< what makes it be read the other way; empty where no simple change does
};

/// The text with its lines changed. @param edits of different lines
[[nodiscard]] std::string edited(std::string_view text, const std::vector<LineEdit>& edits);

/// A section as played.
struct SectionReading {
  std::string name;
  int bars = 0;         ///< as played
  std::string recalls;  ///< the section whose chords it has; empty where it has its own
  int times = 1;        ///< how often its bars are played
};

/// A song as understood.
struct SongReading {
  Progression progression;  ///< as played
  std::vector<SectionReading> sections;
  std::vector<SongNote> decisions;  ///< in the order of the lines
  std::vector<SongNote> left_out;   ///< in the order of the lines
  bool key_found = false;           ///< no key was stated: the progression's was found from what was played
  int bars_before = 0;              ///< of what was played, before bar 1: empty ones, and the upbeat's
};

/// Bytes.
inline constexpr std::size_t longest_typed_song = std::size_t{512} << 10;

/// What was stated beside the text.
struct SongReadingSettings {
  std::optional<NoteNames> names;              ///< nothing: the text shows it
  NoteNames usual_names = NoteNames::english;  ///< where the text shows none
};

/// Reads a song as people type it: the text format of parse_progression, and chords among words, headings, repeats and
/// everything else that musicians write (song_words.txt has the words).
/// A text that begins as a tune in ABC is read as one (theory/songs/abc_reader.h).
/// A text longer than longest_typed_song is read in the format of parse_progression only.
/// @param source what errors call the text: a file's name.
/// Refuses with a place what no musician could read: an unknown chord among chords, a bar that does not fill its meter,
/// a section that is recalled and does not exist, a text without chords.
[[nodiscard]] Parsed<SongReading> read_song(std::string_view text, const std::string& source,
                                            const SongReadingSettings& settings = {});

}  // namespace romanesca
