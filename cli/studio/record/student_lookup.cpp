#include "cli/studio/record/student_lookup.h"

#include <fmt/format.h>

#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

std::string known_as(const Student& student) {
  return fmt::format("{} (level {}, since {})", student.id, student.profile.level, to_string(student.since));
}

}  // namespace

Result<std::optional<Student>> find_student(Store& store, const std::string& name) {
  std::vector<Student> found;
  auto all_students = store.students();
  if (!all_students) return all_students.error();
  for (Student& student : *all_students) {
    if (student.profile.name == name || fmt::to_string(student.id) == name) found.push_back(std::move(student));
  }
  if (found.empty()) return std::optional<Student>();
  if (found.size() == 1) return std::optional(std::move(found.front()));
  std::string all;
  for (const Student& student : found) all += (all.empty() ? "" : ", ") + known_as(student);
  return Failure(ExitStatus::wrong_input, fmt::format("{} students are called {}", found.size(), name),
                 "give the id of the one that you mean: " + all);
}

Result<Student> student_named(Store& store, const std::string& name) {
  auto student = find_student(store, name);
  if (!student) return student.error();
  if (*student) return std::move(**student);
  const auto all = store.students();
  if (!all) return all.error();
  std::vector<std::string> names;
  for (const Student& each : *all) names.push_back(each.profile.name);
  const auto near = nearest_word(name, names);
  return Failure(ExitStatus::wrong_input, fmt::format("there is no student \"{}\"", name),
                 near ? fmt::format("did you mean {}?", *near) : "romanesca student list shows all of them");
}

}  // namespace romanesca
