#pragma once

#include <string>
#include <vector>

#include "cli/console.h"
#include "cli/options.h"

namespace romanesca {

/// The endings of files that a backing track can be written to.
[[nodiscard]] const std::vector<std::string>& backing_endings();

/// Writes the backing of a piece as `render` does without options: a loop, or a MIDI file. Throws Failure where the
/// file refuses. @param path ends in one of backing_endings()
void write_backing(const PlacedProgression& placed, const std::string& path, Console& console);

}  // namespace romanesca
