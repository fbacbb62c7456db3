#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "theory/songs/song_reading.h"

namespace romanesca {

/// What the lines of a typed song make together.
struct AssembledSong {
  SongReading reading;
  std::optional<TextError> fault;  ///< then the reading is not whole
  bool nothing_found = false;      ///< the fault is that there are no chords
  int capo_line = 0;
};

/// Finds out what each line is and puts the song together, as read_song describes; chords as written, before the capo.
[[nodiscard]] AssembledSong assemble_song(std::string_view text, const std::string& source,
                                          const SongReadingSettings& settings);

}  // namespace romanesca
