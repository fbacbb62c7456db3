#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace romanesca {

/// The heading of a section as people write it: "[Verse 1]", "Chorus x2", "Verse 2: same as verse 1", "Intro - Am F".
struct SongHeading {
  std::string name;  ///< "Verse 1", without signs and remarks
  bool has_times = false;
  int times = 1;           ///< "x2"
  std::string same_as;     ///< the section whose chords it has: "verse 1"; "same" for the one before
  std::string remark;      ///< "key change: now in G"
  std::size_t rest = 0;    ///< where the text after it begins; the line's length for none
  bool bare = true;        ///< no colon or sign stood after the name
  bool known_word = true;  ///< has a word for a section in it; else only brackets or a hash say that it is one
};

/// @param line one line without line end. Nothing where the line does not begin with a heading. What stands at rest
/// still has to be checked: "Bridge over the river" begins with one too.
[[nodiscard]] std::optional<SongHeading> read_song_heading(std::string_view line);

/// What two headings of the same section share: small letters, no blanks, hyphens and signs.
[[nodiscard]] std::string heading_id(std::string_view name);
/// The same without a number at the end and without words before it: "chorus" for "Last Chorus 2".
[[nodiscard]] std::string heading_kind(std::string_view name);

/// A section that a sentence about the form names.
struct FormStep {
  std::string name;  ///< "verse"; empty for a last chord
  bool has_times = false;
  int times = 1;
  std::string chord;  ///< "it ends on F"
};
/// "Then verse again, chorus twice, and it ends on F.", "verse, chorus, bridge". Nothing where any part is not
/// understood.
[[nodiscard]] std::optional<std::vector<FormStep>> read_form(std::string_view line);

}  // namespace romanesca
