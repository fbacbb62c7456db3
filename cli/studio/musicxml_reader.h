#pragma once

#include <string>
#include <string_view>

#include "theory/songs/song_reading.h"
#include "theory/text/errors.h"

namespace romanesca {

/// Reads the first part of a score in MusicXML 4.0 (score-partwise) that has notes: the highest voice of its first
/// staff, chord symbols, the first verse, title, key, meter, tempo, repeats and endings. Of notes that sound together
/// the highest is kept; grace notes are left out.
/// @param source what errors call it: the file's name
/// Refuses what is no such score, a meter that a song cannot have, and a score without notes.
[[nodiscard]] Parsed<SongReading> read_musicxml(std::string_view bytes, const std::string& source);

}  // namespace romanesca
