#include "cli/studio/record/student_lookup.h"

#include <fmt/format.h>

#include "cli/failure.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

std::string known_as(const Student& student) {
  return fmt::format("{} (level {}, since {})", student.id, student.profile.level, to_string(student.since));
}

}  // namespace

std::optional<Student> find_student(Store& store, const std::string& name) {
  std::vector<Student> found;
  for (Student& student : store.students()) {
    if (student.profile.name == name || fmt::to_string(student.id) == name) found.push_back(std::move(student));
  }
  if (found.empty()) return std::nullopt;
  if (found.size() == 1) return std::move(found.front());
  std::string all;
  for (const Student& student : found) all += (all.empty() ? "" : ", ") + known_as(student);
  throw Failure(ExitStatus::wrong_input, fmt::format("{} students are called {}", found.size(), name),
                "give the id of the one that you mean: " + all);
}

Student student_named(Store& store, const std::string& name) {
  if (auto student = find_student(store, name)) return std::move(*student);
  std::vector<std::string> names;
  for (const Student& student : store.students()) names.push_back(student.profile.name);
  const auto near = nearest_word(name, names);
  throw Failure(ExitStatus::wrong_input, fmt::format("there is no student \"{}\"", name),
                near ? fmt::format("did you mean {}?", *near) : "romanesca student list shows all of them");
}

}  // namespace romanesca
