#include <fmt/format.h>

#include "cli/shell/completion.h"

namespace romanesca {
namespace {

std::string in_quotes(const std::string& text) {
  std::string result = "'";
  for (const char c : text) result += (c == '\'' || c == '\\' ? "\\" : "") + std::string(1, c);
  return result + "'";
}

/// The values of an option, as switches of fish's `complete`.
std::string offered(const OptionDescription& option) {
  const CompletionWords words = completion_words(option);
  std::string text = words.files ? " -F" : " -f";
  if (words.folders) text += " -a '(__fish_complete_directories)'";
  if (!words.list.empty()) text += fmt::format(" -a '(romanesca --words {} 2>/dev/null)'", words.list);
  if (!words.words.empty()) {
    std::string all;
    for (const std::string& word : words.words) {
      all += all.empty() ? "" : " ";
      for (const char c : word) all += (c == ' ' ? "\\" : "") + std::string(1, c);
    }
    text += " -a " + in_quotes(all);
  }
  return text;
}

/// The lines of one command or action. @param when the condition for them, a fish command
std::string lines_of(const std::string& when, const CommandDescription& command) {
  std::string text;
  bool word_offered = false;
  for (const OptionDescription& option : command.options) {
    if (option.is_word()) {
      if (!word_offered) text += fmt::format("complete -c romanesca -n \"{}\"{}\n", when, offered(option));
      word_offered = true;
      continue;
    }
    text += fmt::format("complete -c romanesca -n \"{}\" -l {}", when, option.name.substr(2));
    if (!option.also.empty()) text += " -s " + option.also.substr(1);
    if (!option.value.empty()) text += " -r" + offered(option);
    text += " -d " + in_quotes(option.description) + "\n";
  }
  return text;
}

}  // namespace

std::string fish_completion(const std::vector<CommandDescription>& commands) {
  std::string text = "# Made by romanesca from its own commands.\ncomplete -c romanesca -f\n";
  const std::string first = "__fish_use_subcommand";
  text += fmt::format("complete -c romanesca -n {} -l help -d 'the list of commands'\n", first);
  text += fmt::format("complete -c romanesca -n {} -l version -d 'its number'\n", first);
  for (const CommandDescription& command : commands) {
    text +=
        fmt::format("complete -c romanesca -n {} -a {} -d {}\n", first, command.name, in_quotes(command.description));
    const std::string here =
        "__fish_seen_subcommand_from " + command.name + (command.also.empty() ? "" : " " + command.also);
    if (command.actions.empty()) {
      text += lines_of(here, command);
      continue;
    }
    std::string names;
    for (const CommandDescription& action : command.actions) names += " " + action.name;
    for (const CommandDescription& action : command.actions) {
      text += fmt::format("complete -c romanesca -n \"{}; and not __fish_seen_subcommand_from{}\" -a {} -d {}\n", here,
                          names, action.name, in_quotes(action.description));
      text += lines_of(here + "; and __fish_seen_subcommand_from " + action.name, action);
    }
  }
  return text;
}

}  // namespace romanesca
