#include "cli/formats/unit_text.h"

#include <fmt/format.h>

#include "cli/formats/exercise_json.h"
#include "cli/formats/wrapped_text.h"

namespace romanesca {

std::string unit_text(const Unit& unit, std::span<const Exercise> sheets, int width) {
  const std::vector<int> weeks = weeks_of_sheets(unit);
  std::string text = wrapped("", unit.title, width);
  text += wrapped("   ", fmt::format("{}. {} weeks, level {}.", unit.whom, unit.weeks.size(), unit.level), width);
  text += wrapped("   ", unit.says, width);
  text += "\n   Name ______________________________   Begun on ______________\n\nAt the end I can\n";
  for (const std::string& each : unit.learnt) text += wrapped("   [ ] ", each, width);
  text += "\nWeek by week\n";
  for (std::size_t week = 1; week <= unit.weeks.size(); ++week) {
    const Unit::Week& about = unit.weeks[week - 1];
    text += wrapped("   ", week_heading(unit, static_cast<int>(week)), width);
    std::string titles;
    for (std::size_t i = 0; i < sheets.size(); ++i) {
      if (weeks[i] == static_cast<int>(week)) titles += (titles.empty() ? "" : "; ") + sheets[i].title;
    }
    text += wrapped("           ", fmt::format("{}: {}", to_string(about.key), titles), width);
  }
  return text;
}

std::string unit_json(const Unit& unit, std::span<const Exercise> sheets, bool answers) {
  const std::vector<int> weeks = weeks_of_sheets(unit);
  OrderedJson about{{"id", unit.id},
                    {"title", unit.title},
                    {"whom", unit.whom},
                    {"says", unit.says},
                    {"level", unit.level},
                    {"learnt", unit.learnt},
                    {"weeks", OrderedJson::array()}};
  for (const Unit::Week& week : unit.weeks)
    about["weeks"].push_back({{"about", week.about}, {"key", to_string(week.key)}});
  OrderedJson json{{"schema", 1}, {"unit", std::move(about)}, {"exercises", OrderedJson::array()}};
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    OrderedJson sheet = exercise_json(sheets[i], choice_name(i), answers);
    sheet["week"] = weeks[i];
    json["exercises"].push_back(std::move(sheet));
  }
  return json.dump() + "\n";
}

}  // namespace romanesca
