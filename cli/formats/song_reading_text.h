#pragma once

#include <string>

#include "theory/analysis/placement.h"

namespace romanesca {

/// The song in the program's own text format, and under it what was decided and left out. @param width in columns
[[nodiscard]] std::string song_reading_text(const NamedProgression& song, int width);

/// What was decided and left out, a line each with the number of the line; empty for nothing. @param width in columns
[[nodiscard]] std::string song_notes_text(const NamedProgression& song, int width);

/// The output of read --json: sections, bars as played, decisions with their lines.
[[nodiscard]] std::string song_reading_json(const NamedProgression& song);

}  // namespace romanesca
