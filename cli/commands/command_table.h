#pragma once

#include <functional>
#include <span>
#include <string_view>
#include <vector>

#include "cli/console.h"
#include "cli/option_parser.h"

namespace romanesca {

/// One command of the program. The table drives the list of commands, dispatch, --help and "did you mean".
struct Command {
  std::string_view name;
  std::string_view also;      ///< a second spelling, or empty
  std::string_view summary;   ///< one line for the list
  std::string_view examples;  ///< two or three, for --help
  /// Adds the command's options to the parser and returns what runs it once they are parsed.
  std::function<void()> (*set_up)(OptionParser& parser, Console& console);
};

[[nodiscard]] std::span<const Command> commands();
/// By its name or second spelling; nothing for any other word.
[[nodiscard]] const Command* command_named(std::string_view name);
/// A parser with the command's name, summary and examples, for its set_up.
[[nodiscard]] OptionParser parser_of(const Command& command);
/// Adds the options that every command and action has, after its own.
void add_common_options(OptionParser& parser, Console& console);

// One file each.
std::function<void()> set_up_read(OptionParser& parser, Console& console);
std::function<void()> set_up_chart(OptionParser& parser, Console& console);
std::function<void()> set_up_analyse(OptionParser& parser, Console& console);
std::function<void()> set_up_transpose(OptionParser& parser, Console& console);
std::function<void()> set_up_harmonise(OptionParser& parser, Console& console);
std::function<void()> set_up_transcribe(OptionParser& parser, Console& console);
std::function<void()> set_up_render(OptionParser& parser, Console& console);
std::function<void()> set_up_play(OptionParser& parser, Console& console);
std::function<void()> set_up_exercise(OptionParser& parser, Console& console);
std::function<void()> set_up_handout(OptionParser& parser, Console& console);
std::function<void()> set_up_progressions(OptionParser& parser, Console& console);
std::function<void()> set_up_styles(OptionParser& parser, Console& console);
std::function<void()> set_up_student(OptionParser& parser, Console& console);
std::function<void()> set_up_microphone(OptionParser& parser, Console& console);
std::function<void()> set_up_ports(OptionParser& parser, Console& console);
std::function<void()> set_up_settings(OptionParser& parser, Console& console);

/// All commands of the table, read from the definitions that also parse the command line.
[[nodiscard]] std::vector<CommandDescription> describe_commands(Console& console);

}  // namespace romanesca
