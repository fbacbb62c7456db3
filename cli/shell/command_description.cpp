#include "cli/shell/command_description.h"

#include <CLI/CLI.hpp>
#include <algorithm>

#include "cli/command_table.h"

namespace romanesca {
namespace {

OptionDescription described(const CLI::Option& option) {
  OptionDescription result;
  if (option.nonpositional()) {
    result.name = option.get_lnames().empty() ? "-" + option.get_snames().front() : "--" + option.get_lnames().front();
    if (!option.get_lnames().empty() && !option.get_snames().empty()) result.also = "-" + option.get_snames().front();
  } else {
    result.name = option.get_name(true);
  }
  const bool takes_value = option.get_items_expected_max() > 0;
  if (takes_value) result.value = option.get_type_name();
  result.says = option.get_description();
  result.required = option.get_required();
  result.repeats = takes_value && option.get_items_expected_max() > 1;
  return result;
}

CommandDescription described(const CLI::App& app, std::string name) {
  CommandDescription result;
  result.name = std::move(name);
  result.says = app.get_description();
  constexpr std::string_view heading = "Examples:\n";
  const std::string footer = app.get_footer();
  result.examples = footer.starts_with(heading) ? footer.substr(heading.size()) : footer;
  for (const CLI::Option* option : app.get_options()) {
    if (!option->get_group().empty()) result.options.push_back(described(*option));
  }
  std::stable_partition(result.options.begin(), result.options.end(),
                        [](const OptionDescription& option) { return option.is_word(); });
  for (const CLI::App* action : app.get_subcommands({})) {
    result.actions.push_back(described(*action, action->get_name()));
  }
  return result;
}

}  // namespace

std::vector<CommandDescription> describe_commands(Console& console) {
  std::vector<CommandDescription> all;
  for (const Command& command : commands()) {
    CLI::App app;
    // Keeps the variables that the options write to.
    // cppcheck-suppress unreadVariable
    const std::function<void()> runs = make_parser(command, app, console);
    all.push_back(described(app, std::string(command.name)));
    all.back().also = command.also;
  }
  return all;
}

}  // namespace romanesca
