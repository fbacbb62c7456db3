#include "progressions/unit.h"

#include <fmt/format.h>

#include <algorithm>

#include "progressions/toml_rows.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

constexpr std::size_t fewest_weeks = 6;
constexpr std::size_t most_weeks = 8;

/// "A few notes | C major: few-notes, two-hands"; nothing for any other text or an unknown kind.
std::optional<Unit::Week> read_week(std::string_view text) {
  const std::size_t stroke = text.find('|');
  if (stroke == std::string_view::npos) return std::nullopt;
  const std::string about(trimmed(text.substr(0, stroke)));
  if (about.empty()) return std::nullopt;
  text.remove_prefix(stroke + 1);
  const std::size_t colon = text.find(':');
  if (colon == std::string_view::npos) return std::nullopt;
  const auto key = parse_key(trimmed(text.substr(0, colon)));
  if (!key) return std::nullopt;
  Unit::Week week{about, {key->tonic, key->mode.value_or(Mode::major)}, {}};
  text.remove_prefix(colon + 1);
  while (true) {
    const std::size_t comma = text.find(',');
    const std::string_view kind = trimmed(text.substr(0, comma));
    if (exercise_kind_named(kind) == nullptr) return std::nullopt;
    week.kinds.emplace_back(kind);
    if (comma == std::string_view::npos) return week;
    text.remove_prefix(comma + 1);
  }
}

Parsed<Unit> read_unit(const EmbeddedText& file, std::string_view id, const TomlTable& table) {
  const auto fault = [&](const std::string& message) {
    return toml_error(file, table.place(), fmt::format("{}: {}", id, message));
  };
  Unit unit;
  unit.id = id;
  unit.title = table.string("title").value_or("");
  unit.whom = table.string("whom").value_or("");
  unit.says = table.string("says").value_or("");
  if (unit.title.empty() || unit.whom.empty() || unit.says.empty()) return fault("title, whom or says is missing");
  const TomlArray* learnt = table.array("learnt");
  if (learnt == nullptr || learnt->size() < 2 || learnt->size() > 6)
    return fault("learnt must be a list of two to six");
  for (const TomlValue& value : *learnt) {
    if (value.string() == nullptr || value.string()->empty()) return fault("learnt must be a list of texts");
    unit.learnt.push_back(*value.string());
  }
  unit.level = table.integer("level").value_or(0);
  if (unit.level < 1 || unit.level > 8) return fault("level must be 1 to 8");
  const TomlArray* weeks = table.array("weeks");
  if (weeks == nullptr || weeks->size() < fewest_weeks || weeks->size() > most_weeks) {
    return fault("weeks must be a list of six to eight");
  }
  for (const TomlValue& value : *weeks) {
    const std::string* text = value.string();
    const auto week = text != nullptr ? read_week(*text) : std::nullopt;
    if (!week) return fault(fmt::format("cannot read the week \"{}\"", text != nullptr ? *text : ""));
    unit.weeks.push_back(*week);
  }
  return unit;
}

}  // namespace

Parsed<std::vector<Unit>> read_units(const EmbeddedText& file) { return read_rows<Unit>(file, read_unit); }

std::span<const Unit> units() {
  static const auto all = rows_of<Unit>(unit_texts(), read_units);
  return all;
}

const Unit* unit_named(std::string_view id) {
  const auto all = units();
  const auto found = std::find_if(all.begin(), all.end(), [&](const Unit& unit) { return unit.id == id; });
  return found == all.end() ? nullptr : &*found;
}

std::vector<int> weeks_of_sheets(const Unit& unit) {
  std::vector<int> weeks;
  for (std::size_t i = 0; i < unit.weeks.size(); ++i)
    weeks.insert(weeks.end(), unit.weeks[i].kinds.size(), static_cast<int>(i) + 1);
  return weeks;
}

std::string week_heading(const Unit& unit, int week) {
  return fmt::format("Week {}: {}", week, unit.weeks[static_cast<std::size_t>(week) - 1].about);
}

Parsed<std::vector<Exercise>> unit_sheets(const Unit& unit, std::span<const Level> levels, std::uint64_t seed) {
  std::vector<Exercise> sheets;
  for (const Unit::Week& week : unit.weeks) {
    for (const std::string& kind : week.kinds) {
      ExerciseRequest request;
      request.key = week.key;
      request.level = levels[static_cast<std::size_t>(unit.level) - 1];
      request.id = kind;
      request.seed = seed;
      request.choices = 1;
      auto made = set_exercises(request);
      if (!made) return made.error();
      sheets.push_back(std::move(made->front()));
    }
  }
  return sheets;
}

}  // namespace romanesca
