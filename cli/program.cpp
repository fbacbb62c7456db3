#include "cli/program.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <ostream>
#include <system_error>
#include <typeinfo>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/shell/shell_support.h"
#include "cli/studio/file_io.h"
#include "theory/text/errors.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

std::string overview() {
  std::string text = "romanesca: teaching music through chords\n\nusage: romanesca COMMAND ...\n\n";
  for (const Command& command : commands()) text += fmt::format("  {:<13} {}\n", command.name, command.summary);
  text +=
      "\nromanesca COMMAND --help shows a command's options and examples.\n"
      "A progression is text: chords (\"C Am F G\"), Roman numerals (\"I vi IV V\") or numbers (\"1 6m 4 5\"),\n"
      "in quotes, in a file, or by its name in the library.\n";
  return text;
}

[[noreturn]] void unknown_command(const std::string& word) {
  std::vector<std::string> names;
  for (const Command& command : commands()) names.emplace_back(command.name);
  const auto near = nearest_word(word, names);
  std::string hint = "romanesca --help lists the commands";
  if (near) hint = fmt::format("did you mean romanesca {}?", *near);
  // Chords, a song or an option: the command is missing.
  if (word.starts_with("-")) hint = "the command comes first, options after it, like romanesca chart song.txt --key D";
  if (word.find_first_of(" |.") != std::string::npos)
    hint = "the command comes first, like romanesca chart \"C Am F G\"";
  throw Failure(ExitStatus::wrong_input, fmt::format("unknown command \"{}\"", word), hint);
}

void run_command(const Command& command, const std::vector<std::string>& arguments, Console& console) {
  OptionParser parser = parser_of(command);
  const std::function<void()> run = command.set_up(parser, console);
  add_common_options(parser, console);
  if (const auto help = parser.parse(std::string(command.name), arguments)) {
    return write_output(*help, std::nullopt, console);
  }
  run();
}

void run(const std::vector<std::string>& arguments, Console& console) {
  if (arguments.size() == 2 && arguments.front() == "help") return run({arguments.back(), "--help"}, console);
  if (arguments.empty() || arguments.front() == "--help" || arguments.front() == "-h" || arguments.front() == "help") {
    if (!arguments.empty()) return write_output(overview(), std::nullopt, console);
    console.err << overview() << std::flush;
    throw Failure(ExitStatus::wrong_input, "say what to do: a command comes first",
                  "begin with romanesca chart \"C Am F G\"");
  }
  if (arguments.front() == "--version") {
    return write_output("romanesca " ROMANESCA_VERSION "\n", std::nullopt, console);
  }
  if (answer_shell(arguments, console)) return;
  const Command* command = command_named(arguments.front());
  if (command == nullptr) unknown_command(arguments.front());
  run_command(*command, {arguments.begin() + 1, arguments.end()}, console);
}

ExitStatus report_no_memory(Console& console) {
  console.err << "romanesca: the computer's memory is used up; give it a shorter piece,"
                 " or close other programs\n"
              << std::flush;
  return ExitStatus::file_refused;
}

/// A program fault. The reason is for programmers and shown only on request.
ExitStatus report_fault(const std::exception& fault, Console& console) {
  console.err
      << "romanesca: this is a fault in the program, not in what you typed\n"
         "    please send the authors the line that you typed, the file it reads, and romanesca " ROMANESCA_VERSION
         ";\n    leave students' names out";
  if (console.debug) {
    console.err << "; the reason: " << typeid(fault).name() << ": " << fault.what() << "\n" << std::flush;
  } else {
    console.err << "; ROMANESCA_DEBUG=1 romanesca ... also shows the reason\n" << std::flush;
  }
  return ExitStatus::program_fault;
}

}  // namespace

ExitStatus run_program(const std::vector<std::string>& arguments, Console& console) {
  try {
    run(arguments, console);
    return ExitStatus::done;
  } catch (const Failure& failure) {
    console.err << describe(failure.error()) << std::flush;
    return failure.status();
  } catch (const std::bad_alloc&) {
    return report_no_memory(console);
  } catch (const std::filesystem::filesystem_error& error) {
    const FileReason reason = reason_not_written(error.code().value());
    const Failure failure(ExitStatus::file_refused, fmt::format("{}: {}", error.path1().string(), reason.why),
                          reason.hint);
    console.err << describe(failure.error()) << std::flush;
    return ExitStatus::file_refused;
  } catch (const std::system_error& error) {  // a thread that could not be started
    const bool no_room =
        error.code() == std::errc::resource_unavailable_try_again || error.code() == std::errc::not_enough_memory;
    return no_room ? report_no_memory(console) : report_fault(error, console);
  } catch (const std::exception& fault) {
    return report_fault(fault, console);
  }
}

}  // namespace romanesca
