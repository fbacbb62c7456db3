#pragma once

#include <functional>
#include <span>
#include <string>
#include <string_view>

#include "cli/console.h"
#include "cli/option_parser.h"
#include "cli/studio/record/store.h"

namespace romanesca {

/// One action of the command student. The table drives dispatch, help and "did you mean".
struct StudentAction {
  std::string_view name;
  std::string_view summary;
  std::string_view examples;
  /// Adds the action's options and returns what runs it once they are parsed.
  std::function<void()> (*set_up)(OptionParser& parser, Console& console);
};
[[nodiscard]] std::span<const StudentAction> student_actions();

/// The required argument for the student, by name or id.
void add_student_name(OptionParser& parser, std::string& name);

/// The option --date, for what happened on another day or is planned for one.
void add_date(OptionParser& parser, std::string& date);
/// The date given, else today.
[[nodiscard]] Date date_or_today(const std::string& date, const Console& console);

// In student_profile.cpp, student_history.cpp, student_note.cpp, student_next.cpp, student_progress.cpp,
// student_song.cpp, student_exchange.cpp and student_remove.cpp.
std::function<void()> set_up_student_add(OptionParser& parser, Console& console);
std::function<void()> set_up_student_set(OptionParser& parser, Console& console);
std::function<void()> set_up_student_list(OptionParser& parser, Console& console);
std::function<void()> set_up_student_show(OptionParser& parser, Console& console);
std::function<void()> set_up_student_history(OptionParser& parser, Console& console);
std::function<void()> set_up_student_note(OptionParser& parser, Console& console);
std::function<void()> set_up_student_next(OptionParser& parser, Console& console);
std::function<void()> set_up_student_progress(OptionParser& parser, Console& console);
std::function<void()> set_up_student_song(OptionParser& parser, Console& console);
std::function<void()> set_up_student_export(OptionParser& parser, Console& console);
std::function<void()> set_up_student_import(OptionParser& parser, Console& console);
std::function<void()> set_up_student_remove(OptionParser& parser, Console& console);

}  // namespace romanesca
