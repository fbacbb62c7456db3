#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "progressions/level.h"
#include "synth/arranging/style.h"
#include "theory/text/errors.h"

namespace romanesca {

/// Where the program keeps what is the teacher's; empty paths for none.
struct StudioFolders {
  std::filesystem::path configuration;  ///< own styles and levels, learned controls
  std::filesystem::path data;           ///< the students' record
};

// What a teacher has written in the folder of settings.

/// The styles that this teacher has: the built-in ones, and those of the folder styles/, which replace built-in ones
/// of the same name. In order of their ids. An error has the place in a file that is wrong, or is file_refused for one
/// that cannot be read.
[[nodiscard]] Result<std::vector<Style>> own_styles(const std::filesystem::path& configuration);

/// The levels that this teacher works with: those of levels.toml where there is such a file, else the built-in ones.
/// Errors as above.
[[nodiscard]] Result<std::vector<Level>> own_levels(const std::filesystem::path& configuration);

/// One of them; an error too for a number that is not 1 to 8. @param option its name, for the message.
[[nodiscard]] Result<Level> own_level(const std::string& option, int number,
                                      const std::filesystem::path& configuration);

/// The hands of a student. @param level 1 to 8 @param span of a hand in semitones; 0 for that of the level
[[nodiscard]] Result<HandSettings> student_hands(int level, int span, const std::filesystem::path& configuration);

/// An error for a level that is not 1 to 8. @param option its name, for the message
[[nodiscard]] Status check_level(const std::string& option, int level);

}  // namespace romanesca
