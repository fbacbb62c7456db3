#include "cli/shell/command_description.h"

#include "cli/commands/command_table.h"

namespace romanesca {

std::vector<CommandDescription> describe_commands(Console& console) {
  std::vector<CommandDescription> all;
  for (const Command& command : commands()) {
    OptionParser parser = parser_of(command);
    // Keeps the variables that the options write to.
    // cppcheck-suppress unreadVariable
    const std::function<void()> runs = command.set_up(parser, console);
    all.push_back(parser.description(std::string(command.name)));
    all.back().also = command.also;
  }
  return all;
}

}  // namespace romanesca
