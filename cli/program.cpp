#include "cli/program.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "cli/command_table.h"
#include "cli/error_report.h"
#include "cli/failure.h"
#include "cli/shell/shell_support.h"
#include "theory/nearest_word.h"

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
  throw Failure(ExitStatus::wrong_input, fmt::format("\"{}\" is no command", word),
                near ? fmt::format("did you mean romanesca {}?", *near) : "romanesca --help lists the commands");
}

/// A command whose first word must be one of its actions, and is none.
[[noreturn]] void refuse_action(const CLI::App& app, const std::string& name,
                                const std::vector<std::string>& arguments) {
  std::vector<std::string> actions;
  for (const CLI::App* action : app.get_subcommands({})) actions.push_back(action->get_name());
  const std::string all = fmt::format("it is one of {}", fmt::join(actions, ", "));
  if (arguments.empty()) throw Failure(ExitStatus::wrong_input, name + " needs to know what to do", all);
  const auto near = nearest_word(arguments.front(), actions);
  throw Failure(ExitStatus::wrong_input, fmt::format("{} does not know \"{}\"", name, arguments.front()),
                near ? fmt::format("did you mean romanesca {} {}?", name, *near) : all);
}

/// What is missing where an option or word is required.
[[noreturn]] void refuse_missing(const CLI::App& app, const std::string& name, const std::string& help) {
  for (const CLI::Option* option : app.get_options()) {
    if (!option->get_required() || option->count() > 0 || option->get_single_name() == "progression") continue;
    throw Failure(ExitStatus::wrong_input, fmt::format("{} needs the {}", name, option->get_single_name()), help);
  }
  throw Failure(ExitStatus::wrong_input, fmt::format("{} needs a progression", name),
                "give chords in quotes, a file, or the name of a pattern");
}

/// Says in our words what the option parser refused.
[[noreturn]] void refuse_options(const CLI::ParseError& error, const CLI::App& whole, const Command& command,
                                 const std::vector<std::string>& arguments) {
  const auto is = [&](CLI::ExitCodes code) { return error.get_exit_code() == static_cast<int>(code); };
  const auto actions = whole.get_subcommands();
  const CLI::App& app = actions.empty() ? whole : *actions.back();
  const std::string name = std::string(command.name) + (actions.empty() ? "" : " " + app.get_name());
  if (!app.get_subcommands({}).empty()) refuse_action(app, name, arguments);
  const std::string help = fmt::format("romanesca {} --help shows the options and examples", name);
  std::vector<std::string> known;
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& word : option->get_lnames()) known.push_back("--" + word);
  }
  if (is(CLI::ExitCodes::ExtrasError)) {
    for (const std::string& argument : arguments) {
      const std::string option = argument.substr(0, argument.find('='));
      if (!option.starts_with("-") || option == "-") continue;
      if (std::find(known.begin(), known.end(), option) != known.end()) continue;
      const auto near = nearest_word(option, known);
      throw Failure(ExitStatus::wrong_input, fmt::format("{} has no option {}", name, option),
                    near ? fmt::format("did you mean {}?", *near) : help);
    }
    const bool of_chords = actions.empty();
    throw Failure(
        ExitStatus::wrong_input, "there is one word too many",
        of_chords ? "put the chords in quotes, like \"C Am F G\"" : "put words that belong together in quotes");
  }
  if (is(CLI::ExitCodes::RequiredError)) refuse_missing(app, name, help);
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    const bool last = i + 1 == arguments.size() || arguments[i + 1].starts_with("--");
    if (last && arguments[i].starts_with("--") && std::find(known.begin(), known.end(), arguments[i]) != known.end() &&
        is(CLI::ExitCodes::ArgumentMismatch)) {
      throw Failure(ExitStatus::wrong_input, fmt::format("{} needs a value", arguments[i]), help);
    }
  }
  for (std::size_t i = 0; i + 1 < arguments.size(); ++i) {
    const std::string what = error.what();  // which names neither an option's older name nor one that is hidden
    const bool named = what.find(arguments[i]) != std::string::npos || what.ends_with("= " + arguments[i + 1]);
    if (is(CLI::ExitCodes::ConversionError) && arguments[i].starts_with("--") && named) {
      throw Failure(ExitStatus::wrong_input,
                    fmt::format("{}: \"{}\" is no whole number", arguments[i], arguments[i + 1]), help);
    }
  }
  throw Failure(ExitStatus::wrong_input, fmt::format("the options of {} do not fit together", name), help);
}

void run_command(const Command& command, const std::vector<std::string>& arguments, Console& console) {
  CLI::App app;
  const std::function<void()> run = make_parser(command, app, console);
  std::vector<std::string> reversed(arguments.rbegin(), arguments.rend());
  try {
    app.parse(reversed);
  } catch (const CLI::CallForHelp&) {
    console.out << app.help() << std::flush;
    return;
  } catch (const CLI::ParseError& error) {
    refuse_options(error, app, command, arguments);
  }
  run();
}

void run(const std::vector<std::string>& arguments, Console& console) {
  if (arguments.empty() || arguments.front() == "--help" || arguments.front() == "-h" || arguments.front() == "help") {
    (arguments.empty() ? console.err : console.out) << overview() << std::flush;
    if (arguments.empty()) throw Failure(ExitStatus::wrong_input, "say what to do: a command comes first");
    return;
  }
  if (arguments.front() == "--version") {
    console.out << "romanesca " << ROMANESCA_VERSION << "\n" << std::flush;
    return;
  }
  if (answer_shell(arguments, console)) return;
  const Command* command = command_named(arguments.front());
  if (command == nullptr) unknown_command(arguments.front());
  run_command(*command, {arguments.begin() + 1, arguments.end()}, console);
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
    console.err << "romanesca: the computer's memory is used up; try a shorter piece\n" << std::flush;
    return ExitStatus::file_refused;
  } catch (const std::exception& error) {
    console.err << "romanesca: something went wrong that should not: " << error.what() << "\n" << std::flush;
    return ExitStatus::file_refused;
  }
}

}  // namespace romanesca
