#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "theory/chords/key.h"
#include "theory/songs/progression.h"
#include "theory/text/embedded_text.h"

namespace romanesca {

/// A chord pattern of the library, as its file says.
struct Pattern {
  std::string id;      ///< "doo-wop"
  std::string chords;  ///< Roman numerals, in the program's text format
  Mode mode = Mode::major;
  int level = 1;  ///< 1 to 8
  std::vector<std::string> tags;
  std::string family;       ///< id of the pattern that this is a form of; its own id if of none
  std::string description;  ///< how it feels and what to try
  Progression progression;  ///< the chords, read
};

/// All patterns, in the order of the files.
[[nodiscard]] std::span<const Pattern> library();

/// Exact id, or nothing.
[[nodiscard]] const Pattern* pattern_named(std::string_view id);

/// What to look for; what is left open fits everything.
struct PatternQuery {
  std::optional<int> level;  ///< exactly this level
  std::optional<Mode> mode;
  std::vector<std::string> words;  ///< each must occur in the id, a tag or the sentence; case does not matter
};
[[nodiscard]] std::vector<const Pattern*> find_patterns(const PatternQuery& query);

/// The files in library/, as compiled in.
[[nodiscard]] std::span<const EmbeddedText> library_texts();

/// Reads a library file. @return the patterns, or what is wrong and where.
[[nodiscard]] Parsed<std::vector<Pattern>> read_patterns(const EmbeddedText& file);

}  // namespace romanesca
