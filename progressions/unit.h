#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "progressions/exercise.h"
#include "theory/text/embedded_text.h"
#include "theory/text/errors.h"

namespace romanesca {

/// A term of six to eight weeks: a table of units.toml, which explains the fields.
struct Unit {
  struct Week {
    std::string about;
    Key key;
    std::vector<std::string> kinds;
  };
  std::string id, title, whom, says;
  std::vector<std::string> learnt;
  int level = 1;
  std::vector<Week> weeks;
};
[[nodiscard]] std::span<const Unit> units();
/// Exact id, or null.
[[nodiscard]] const Unit* unit_named(std::string_view id);

/// For each sheet of a unit its week, from 1.
[[nodiscard]] std::vector<int> weeks_of_sheets(const Unit& unit);
/// "Week 3: Silence, and chords one note at a time". @param week from 1
[[nodiscard]] std::string week_heading(const Unit& unit, int week);

/// The sheets of a unit in their order. @param levels the teacher's eight @param seed gives other sheets of the same
/// kinds
/// @return what is wrong, where a kind is not for the level
[[nodiscard]] Parsed<std::vector<Exercise>> unit_sheets(const Unit& unit, std::span<const Level> levels,
                                                        std::uint64_t seed);

/// Reads a file of units. @return them, or what is wrong and where.
[[nodiscard]] Parsed<std::vector<Unit>> read_units(const EmbeddedText& file);
/// The data file as compiled in.
[[nodiscard]] std::span<const EmbeddedText> unit_texts();

}  // namespace romanesca
