#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/commands/student_action.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/record_export.h"
#include "cli/formats/student_text.h"

namespace romanesca {
namespace {

struct ShowOptions {
  std::string name, since;
  bool json = false;
};

/// @param member "open" or "entries"
nlohmann::ordered_json with_entries(const Student& student, const char* member, const std::vector<Entry>& entries) {
  nlohmann::ordered_json object = student_json(student);
  object[member] = nlohmann::ordered_json::array();
  for (const Entry& entry : entries) object[member].push_back(entry_json(entry));
  return object;
}

std::string students_json(nlohmann::ordered_json students) {
  return nlohmann::ordered_json{{"schema", 1}, {"students", std::move(students)}}.dump() + "\n";
}

void run_list(const ShowOptions& options, Console& console) {
  const auto records = value_or_throw(value_or_throw(Store::open(console.data)).records());
  nlohmann::ordered_json students = nlohmann::ordered_json::array();
  for (const StudentRecord& each : records) {
    students.push_back(with_entries(each.student, "open", open_entries(each.entries)));
  }
  write_output(options.json ? students_json(std::move(students)) : students_text(records), std::nullopt, console);
}

void run_show(const ShowOptions& options, Console& console) {
  Store store = value_or_throw(Store::open(console.data));
  const Student student = value_or_throw(student_named(store, options.name));
  const std::vector<Entry> entries = value_or_throw(store.history(student.id));
  write_output(options.json ? students_json(
                                  nlohmann::ordered_json::array({with_entries(student, "open", open_entries(entries))}))
                            : student_text({student, entries, value_or_throw(store.songs(student.id))}, console.width),
               std::nullopt, console);
}

void run_history(const ShowOptions& options, Console& console) {
  Store store = value_or_throw(Store::open(console.data));
  const Student student = value_or_throw(student_named(store, options.name));
  std::vector<Entry> entries = value_or_throw(store.history(student.id));
  if (!options.since.empty()) {
    const Date since = value_or_throw(date_given("--since", options.since));
    entries.erase(std::remove_if(entries.begin(), entries.end(), [&](const Entry& e) { return e.date < since; }),
                  entries.end());
  }
  std::stable_sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) { return a.date < b.date; });
  const std::string text = entries.empty() ? fmt::format("{}: nothing is written down{}.\n", student.profile.name,
                                                         options.since.empty() ? " yet" : " since " + options.since)
                                           : student.profile.name + "\n" + entries_text(entries, console.width);
  write_output(
      options.json ? students_json(nlohmann::ordered_json::array({with_entries(student, "entries", entries)})) : text,
      std::nullopt, console);
}

void add_json(OptionParser& parser, bool& json) { parser.add_flag("--json", json, "answer as one JSON object"); }

}  // namespace

std::function<void()> set_up_student_list(OptionParser& parser, Console& console) {
  auto options = std::make_shared<ShowOptions>();
  add_json(parser, options->json);
  return [options, &console] { run_list(*options, console); };
}

std::function<void()> set_up_student_show(OptionParser& parser, Console& console) {
  auto options = std::make_shared<ShowOptions>();
  add_student_name(parser, options->name);
  add_json(parser, options->json);
  return [options, &console] { run_show(*options, console); };
}

std::function<void()> set_up_student_history(OptionParser& parser, Console& console) {
  auto options = std::make_shared<ShowOptions>();
  add_student_name(parser, options->name);
  parser.add_option("--since", options->since, "from this day on, like 2026-09-01").value_name("DATE");
  add_json(parser, options->json);
  return [options, &console] { run_history(*options, console); };
}

}  // namespace romanesca
