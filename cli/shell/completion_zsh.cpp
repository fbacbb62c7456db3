#include <fmt/format.h>

#include "cli/shell/completion.h"

namespace romanesca {
namespace {

constexpr std::string_view zsh_start = R"~(#compdef romanesca
# Made by romanesca from its own commands.
_romanesca_words() {  # the present words of one of the program's lists
  local -a found
  found=("${(@f)$(_call_program words romanesca --words $1 2>/dev/null)}")
  (( $#found )) && compadd "${@:2}" -a found
}
_romanesca_progression() { _romanesca_words progressions; _files; }
)~";

/// Escaped for a specification of _arguments or _describe in single quotes.
std::string quoted(const std::string& text) {
  std::string result;
  for (const char c : text) {
    if (c == '\'') {
      result += "'\\''";
    } else if (c == ':' || c == '[' || c == ']' || c == '\\') {
      result += std::string("\\") + c;
    } else {
      result += c;
    }
  }
  return result;
}

/// How to complete the value of an option, in the syntax of _arguments.
std::string action_of(const OptionDescription& option) {
  const CompletionWords words = completion_words(option);
  if (words.files && !words.list.empty()) return "_romanesca_progression";
  if (!words.list.empty()) return "{_romanesca_words " + words.list + "}";
  if (words.files) return "_files";
  if (words.folders) return "_files -/";
  if (words.words.empty()) return " ";
  std::string all;
  for (const std::string& word : words.words) {
    all += all.empty() ? "" : " ";
    for (const char c : word) all += (c == ' ' ? "\\" : "") + std::string(1, c);
  }
  return "(" + all + ")";
}

std::string specification(const OptionDescription& option) {
  const std::string value = option.value.empty() ? "" : ":" + quoted(option.value) + ":" + action_of(option);
  if (option.is_word()) return fmt::format("'{}{}'", option.repeats ? "*" : option.required ? "" : ":", value);
  return fmt::format("'{}{}[{}]{}'", option.repeats ? "*" : "", option.name, quoted(option.description), value);
}

std::string arguments(const CommandDescription& command, const std::string& indent) {
  std::string text = indent + "_arguments -S";
  for (const OptionDescription& option : command.options) text += " \\\n" + indent + "  " + specification(option);
  return text + " ;;\n";
}

std::string described(const std::vector<CommandDescription>& commands, const std::string& indent) {
  std::string text;
  for (const CommandDescription& command : commands) {
    text += fmt::format("{}'{}:{}'\n", indent, quoted(command.name), quoted(command.description));
  }
  return text;
}

}  // namespace

std::string zsh_completion(const std::vector<CommandDescription>& commands) {
  std::string text(zsh_start);
  text += "_romanesca() {\n  local -a choices\n  if (( CURRENT == 2 )); then\n    choices=(\n";
  text += described(commands, "      ") + "      '--help:the list of commands'\n      '--version:its number'\n";
  text +=
      "    )\n    _describe command choices\n    return\n  fi\n  shift words; (( CURRENT-- ))\n  case $words[1] in\n";
  for (const CommandDescription& command : commands) {
    text += "    " + command.name + (command.also.empty() ? "" : "|" + command.also) + ")\n";
    if (command.actions.empty()) {
      text += arguments(command, "      ");
      continue;
    }
    text += "      if (( CURRENT == 2 )); then\n        choices=(\n" + described(command.actions, "          ");
    text += "        )\n        _describe action choices\n        return\n      fi\n";
    text += "      shift words; (( CURRENT-- ))\n      case $words[1] in\n";
    for (const CommandDescription& action : command.actions) {
      text += "        " + action.name + ")\n" + arguments(action, "          ");
    }
    text += "      esac ;;\n";
  }
  return text + "  esac\n}\n_romanesca \"$@\"\n";
}

}  // namespace romanesca
