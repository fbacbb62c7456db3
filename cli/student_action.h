#pragma once

#include <functional>
#include <span>
#include <string>
#include <string_view>

#include "cli/console.h"
#include "cli/option_parser.h"
#include "cli/record/student_lookup.h"

namespace romanesca {

/// One action of the command student. The table drives dispatch, help and "did you mean".
struct StudentAction {
  std::string_view name;
  std::string_view summary;
  std::string_view examples;
  /// Adds the action's options and returns what runs it once they are parsed.
  std::function<void()> (*set_up)(CLI::App& app, Console& console);
};
[[nodiscard]] std::span<const StudentAction> student_actions();

/// The word that says which student is meant; required.
void add_student_name(CLI::App& app, std::string& name);

/// The option --date, for what happened on another day or is planned for one.
void add_date(CLI::App& app, std::string& date);
/// The date given, else today.
[[nodiscard]] Date date_or_today(const std::string& date, const Console& console);

// In student_profile.cpp, student_history.cpp, student_note.cpp, student_next.cpp, student_exchange.cpp and
// student_remove.cpp.
std::function<void()> set_up_student_add(CLI::App& app, Console& console);
std::function<void()> set_up_student_set(CLI::App& app, Console& console);
std::function<void()> set_up_student_list(CLI::App& app, Console& console);
std::function<void()> set_up_student_show(CLI::App& app, Console& console);
std::function<void()> set_up_student_history(CLI::App& app, Console& console);
std::function<void()> set_up_student_note(CLI::App& app, Console& console);
std::function<void()> set_up_student_next(CLI::App& app, Console& console);
std::function<void()> set_up_student_export(CLI::App& app, Console& console);
std::function<void()> set_up_student_import(CLI::App& app, Console& console);
std::function<void()> set_up_student_remove(CLI::App& app, Console& console);

}  // namespace romanesca
