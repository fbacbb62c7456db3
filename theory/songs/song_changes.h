#pragma once

#include <string>

#include "theory/songs/progression.h"
#include "theory/songs/song_notes.h"
#include "theory/songs/song_sections.h"

namespace romanesca {

/// Where in a song a line states a key, a tempo or a meter.
struct StatementPlace {
  bool before_chords = true;  ///< the song's own
  bool in_row = false;        ///< chords stand above it in its section
};

/// The key, tempo and meter that count while the lines of a song are read.
class SongChanges {
 public:
  SongChanges(Progression& song, SongSections& sections, SongNotes& notes)
      : song_(song), sections_(sections), notes_(notes) {}

  /// What counts from here on.
  [[nodiscard]] const SongChange& counting() const { return counts_; }
  [[nodiscard]] Meter meter() const { return counts_.meter.value_or(song_.meter()); }

  // Before the first chord it is the song's, and a second one is a fault; later it counts from the next bar on.
  void state_key(const KeyText& key, const StatementPlace& place, const SongLine& line);
  /// Directly under a heading it is that of the section alone.
  void state_tempo(double bpm, const StatementPlace& place, const SongLine& line);
  /// @param written as it stands in the text, where songs here have @p meter in its place; else empty
  void state_meter(Meter meter, const std::string& written, const StatementPlace& place, const SongLine& line);

  /// A section begins. After one that was played again by its name, what counts at its end counts, but for what was
  /// stated since its heading.
  void begin_section();

 private:
  void fail_second(const char* what, const std::string& first, const SongLine& line);

  Progression& song_;
  SongSections& sections_;
  SongNotes& notes_;
  SongChange counts_;
  SongChange stated_;  // since the last heading
};

}  // namespace romanesca
