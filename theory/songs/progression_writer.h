#pragma once

#include <string>

#include "theory/songs/progression.h"

namespace romanesca {

/// A song as text: header lines, sections, bars with their words under them, changes of meter, key and tempo, and its
/// form with repeat signs, endings, recalled sections, "D.C." and "D.S." as it stands on paper.
/// read_song reads it back to an equal one, and so does parse_progression where no such sign and no words are in it. A
/// progression without header, section or comment comes out as one line per row.
[[nodiscard]] std::string write_progression(const Progression& progression);

/// The song as played, in the form that parse_progression reads: every bar of it, its sections and changes, with the
/// chords that sound in English names, but without signs of repeats, words and tune.
[[nodiscard]] std::string write_as_played(Progression progression);

}  // namespace romanesca
