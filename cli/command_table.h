#pragma once

#include <functional>
#include <span>
#include <string_view>

#include "cli/console.h"
#include "cli/option_parser.h"

namespace romanesca {

/// One command of the program. The table drives the list of commands, dispatch, --help and "did you mean".
struct Command {
  std::string_view name;
  std::string_view also;      ///< a second spelling, or empty
  std::string_view summary;   ///< one line for the list
  std::string_view examples;  ///< two or three from a teacher's day, for --help
  /// Adds the command's options to the parser and returns what runs it once they are parsed.
  std::function<void()> (*set_up)(CLI::App& app, Console& console);
};

[[nodiscard]] std::span<const Command> commands();
/// By its name or second spelling; nothing for any other word.
[[nodiscard]] const Command* command_named(std::string_view name);
/// Gives the parser the command's name, summary, options and examples. @return what runs it once they are parsed
[[nodiscard]] std::function<void()> make_parser(const Command& command, CLI::App& app, Console& console);

// One file each.
std::function<void()> set_up_chart(CLI::App& app, Console& console);
std::function<void()> set_up_analyse(CLI::App& app, Console& console);
std::function<void()> set_up_transpose(CLI::App& app, Console& console);
std::function<void()> set_up_render(CLI::App& app, Console& console);
std::function<void()> set_up_play(CLI::App& app, Console& console);
std::function<void()> set_up_exercise(CLI::App& app, Console& console);
std::function<void()> set_up_handout(CLI::App& app, Console& console);
std::function<void()> set_up_progressions(CLI::App& app, Console& console);
std::function<void()> set_up_styles(CLI::App& app, Console& console);
std::function<void()> set_up_student(CLI::App& app, Console& console);
std::function<void()> set_up_ports(CLI::App& app, Console& console);

}  // namespace romanesca
