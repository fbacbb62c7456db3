#pragma once

#include <string>

#include "cli/console.h"
#include "theory/songs/progression.h"

namespace romanesca {

/// A progression that the user named, and what to call it in file names.
struct NamedProgression {
  Progression progression;
  std::string name;                  ///< title, library id or file name without ending; "progression" for typed chords
  std::optional<Mode> library_mode;  ///< the mode of a library pattern
};

/// What the argument means, tried in this order: "-" standard input, an existing file, a library id, else the chords
/// themselves. Throws Failure: file_refused for a file that cannot be read, wrong_input with the place for wrong text.
[[nodiscard]] NamedProgression read_progression(const std::string& argument, Console& console);

}  // namespace romanesca
