#include "cli/formats/record_csv.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

bool begins_a_formula(std::string_view text) {
  text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
  constexpr std::array<std::string_view, 10> signs{"=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠"};
  return std::any_of(signs.begin(), signs.end(), [&](std::string_view sign) { return text.starts_with(sign); });
}

std::string row(const std::vector<std::string>& cells) {
  std::string text;
  for (const std::string& cell : cells) text += (text.empty() ? "" : ",") + csv_cell(cell);
  return text + "\r\n";
}

std::string number_text(std::int64_t number) { return number == 0 ? "" : fmt::to_string(number); }

std::vector<std::string> student_cells(const Student& student) {
  const Profile& profile = student.profile;
  return {fmt::to_string(student.id),    profile.name,
          fmt::to_string(profile.level), number_text(profile.span),
          to_string(profile.keys),       fmt::format("{}", fmt::join(profile.likes, ", ")),
          to_string(student.since)};
}

std::vector<std::string> entry_cells(const Entry& entry) {
  return {fmt::to_string(entry.number),
          to_string(entry.date),
          std::string(to_string(entry.kind)),
          entry.exercise,
          entry.key ? to_string(*entry.key) : "",
          number_text(entry.level),
          entry.seed ? fmt::to_string(*entry.seed) : "",
          entry.choice,
          number_text(entry.about),
          entry.text};
}

}  // namespace

std::string csv_cell(std::string_view text) {
  std::string cell = begins_a_formula(text) ? "'" : "";
  cell += text;
  if (cell.find_first_of(",\"\r\n") == std::string::npos) return cell;
  std::string quoted = "\"";
  for (const char c : cell) quoted += c == '"' ? "\"\"" : std::string(1, c);
  return quoted + "\"";
}

std::string record_csv(const std::vector<StudentRecord>& records) {
  std::string text = row({"id", "name", "student level", "span", "keys", "likes", "since", "number", "date", "kind",
                          "exercise", "key", "level", "seed", "choice", "about", "text"});
  for (const StudentRecord& record : records) {
    const std::vector<std::string> student = student_cells(record.student);
    for (const Entry& entry : record.entries) {
      std::vector<std::string> cells = student;
      for (std::string& cell : entry_cells(entry)) cells.push_back(std::move(cell));
      text += row(cells);
    }
    if (record.entries.empty()) {
      std::vector<std::string> cells = student;
      cells.resize(student.size() + entry_cells({}).size());
      text += row(cells);
    }
  }
  return text;
}

}  // namespace romanesca
