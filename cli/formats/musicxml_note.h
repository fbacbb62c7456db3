#pragma once

#include <cstdint>
#include <pugixml.hpp>
#include <string>
#include <vector>

#include "cli/formats/written_rhythm.h"
#include "theory/notes/pitch.h"

namespace romanesca {

/// Which accidental a note needs in its bar, by the signature and by what comes before it on the same staff. A reader
/// may work it out itself, but some show only the ones that are written down.
class Accidentals {
 public:
  /// @param signature sharps (positive) or flats (negative).
  explicit Accidentals(int signature) noexcept : signature_(signature) {}

  void start_bar() noexcept { written_.clear(); }
  /// From the next bar on.
  void change_signature(int signature) noexcept { signature_ = signature; }
  /// The word of MusicXML, or null where the note needs none, or one that has no sign (four sharps). Remembers the
  /// note.
  [[nodiscard]] const char* needed_for(const Pitch& pitch);

 private:
  int signature_;
  std::vector<Pitch> written_;
};

/// What is sung from a note on.
struct Lyric {
  std::string text;
  std::string syllabic = "single";  ///< its place in its word, as MusicXML calls it
  bool extends = false;             ///< held over the notes after it
  std::size_t verse = 0;            ///< from 1; 0 where there is only one
};

/// One hand's share of a moment: a chord, a single note, or a rest if it has no notes.
struct WrittenChord {
  struct Note {
    Pitch pitch;
    int finger = 0;  ///< 0 for none
    bool tied_from = false;
    bool tied_to = false;
  };
  std::vector<Note> notes;  ///< low to high
  WrittenNote rhythm;
  std::int64_t duration = 0;    ///< in divisions
  int staff = 1;                ///< 1 right hand, 2 left hand; each is its own voice
  std::vector<Lyric> lyrics{};  ///< sung from here on
};

/// Adds the <note>s of one moment to a measure. The direction of stems and the beams are left to the reader.
void add_notes(pugi::xml_node measure, const WrittenChord& chord, Accidentals& accidentals);

/// Adds the rest of a whole bar, which looks the same in every meter. @param duration in divisions.
void add_bar_rest(pugi::xml_node measure, std::int64_t duration, int staff);

}  // namespace romanesca
