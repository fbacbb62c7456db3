#include "cli/formats/record_export.h"

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

nlohmann::ordered_json student_json(const Student& student) {
  const Profile& profile = student.profile;
  nlohmann::ordered_json keys = nlohmann::ordered_json::array();
  for (const Key& key : profile.keys) keys.push_back(to_string(key));
  nlohmann::ordered_json json{{"id", student.id},       {"mark", student.uid}, {"name", profile.name},
                              {"level", profile.level}, {"span", nullptr},     {"keys", std::move(keys)},
                              {"likes", profile.likes}};
  if (profile.span != 0) json["span"] = profile.span;
  json["since"] = to_string(student.since);
  json["changed"] = to_string(student.changed);
  return json;
}

nlohmann::ordered_json entry_json(const Entry& entry) {
  nlohmann::ordered_json json{
      {"number", entry.number}, {"date", to_string(entry.date)}, {"kind", to_string(entry.kind)}};
  if (!entry.exercise.empty()) json["exercise"] = entry.exercise;
  if (entry.key) json["key"] = to_string(*entry.key);
  if (entry.level != 0) json["level"] = entry.level;
  if (entry.seed) json["seed"] = *entry.seed;
  if (!entry.choice.empty()) json["choice"] = entry.choice;
  if (entry.about != 0) json["about"] = entry.about;
  if (!entry.text.empty()) json["text"] = entry.text;
  return json;
}

nlohmann::ordered_json song_version_json(const SongVersion& song) {
  return {{"title", song.title}, {"version", song.version}, {"date", to_string(song.date)}, {"text", song.text}};
}

std::string record_json(const std::vector<StudentRecord>& records) {
  nlohmann::ordered_json json{{"schema", 1}, {"students", nlohmann::ordered_json::array()}};
  for (const StudentRecord& record : records) {
    nlohmann::ordered_json student = student_json(record.student);
    student["entries"] = nlohmann::ordered_json::array();
    for (const Entry& entry : record.entries) student["entries"].push_back(entry_json(entry));
    for (const SongVersion& song : record.songs) student["songs"].push_back(song_version_json(song));
    json["students"].push_back(std::move(student));
  }
  return json.dump(1) + "\n";
}

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
