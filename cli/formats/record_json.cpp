#include "cli/formats/record_json.h"

namespace romanesca {

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

std::string record_json(const std::vector<StudentRecord>& records) {
  nlohmann::ordered_json json{{"schema", 1}, {"students", nlohmann::ordered_json::array()}};
  for (const StudentRecord& record : records) {
    nlohmann::ordered_json student = student_json(record.student);
    student["entries"] = nlohmann::ordered_json::array();
    for (const Entry& entry : record.entries) student["entries"].push_back(entry_json(entry));
    json["students"].push_back(std::move(student));
  }
  return json.dump(1) + "\n";
}

}  // namespace romanesca
