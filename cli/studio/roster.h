#pragma once

#include <string>
#include <vector>

#include "cli/studio/packet.h"

namespace romanesca {

/// A line of a roster: a packet, and what its files are called.
struct RosterLine {
  int line = 0;      ///< in the file, from 1
  std::string file;  ///< the name without ending: the student's, in letters that every system accepts
  PacketRequest request;
};

/// Reads a roster: a table of comma-separated values (RFC 4180) as spreadsheets write it, or separated by semicolons or
/// tabs. The first line names the columns: student, and any of song, key, level, tempo, style, exercise, seed,
/// greeting. An error with the place for a text that is not a table, an unknown column, a text in place of a number, a
/// student without a name. Students of one name get numbers behind it.
[[nodiscard]] Result<std::vector<RosterLine>> read_roster(const std::string& path);
/// The same from a text. @param source what to call it in messages
[[nodiscard]] Result<std::vector<RosterLine>> read_roster_text(const std::string& text, const std::string& source);

}  // namespace romanesca
