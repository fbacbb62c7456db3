#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/shell/completion.h"

namespace romanesca {
namespace {

// Needs only bash, not the package bash-completion. bash splits "--option=value" into three words.
constexpr std::string_view bash_start = R"~(# Made by romanesca from its own commands.
_romanesca_offer() {  # of the words, one per line, those that begin like the one being typed
  local candidate
  while IFS= read -r candidate; do
    if [[ -n $candidate && $candidate == "$word"* ]]; then COMPREPLY+=("$(printf %q "$candidate")"); fi
  done
}
_romanesca_files() {
  compopt -o filenames 2>/dev/null
  local found
  while IFS= read -r found; do COMPREPLY+=("$found"); done < <(compgen "$1" -- "$word")
}
_romanesca() {
  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} place=${COMP_WORDS[1]}
  COMPREPLY=()
  if [[ $word == "=" ]]; then word=""; elif [[ $before == "=" ]]; then before=${COMP_WORDS[COMP_CWORD-2]}; fi
  if (( COMP_CWORD == 1 )); then
)~";

std::string offer(const std::vector<std::string>& words) {
  return fmt::format("_romanesca_offer < <(printf '%s\\n' '{}')", fmt::join(words, "' '"));
}

/// The shell commands that offer the values of an option; empty if they are unknown.
std::string offer(const OptionDescription& option) {
  const CompletionWords words = completion_words(option);
  std::string text;
  if (!words.list.empty())
    text += "_romanesca_offer < <(\"${COMP_WORDS[0]}\" --words " + words.list + " 2>/dev/null); ";
  if (words.files) text += "_romanesca_files -f; ";
  if (words.folders) text += "_romanesca_files -d; ";
  if (!words.words.empty()) text += offer(words.words) + "; ";
  return text;
}

/// The case branch of one command or action. @param place like "student next"
std::string branch(const std::string& place, const CommandDescription& command) {
  std::vector<std::string> names;
  std::string values, word;
  for (const OptionDescription& option : command.options) {
    if (option.is_word()) {
      if (word.empty()) word = offer(option);
      continue;
    }
    names.push_back(option.name);
    if (!option.value.empty()) values += fmt::format("        {}) {}return ;;\n", option.name, offer(option));
  }
  std::string text = fmt::format("    \"{}\")\n", place);
  if (!values.empty()) text += "      case $before in\n" + values + "      esac\n";
  text += "      if [[ $word == -* ]]; then " + offer(names) + "; return; fi\n";
  return text + (word.empty() ? "" : "      " + word + "\n") + "      ;;\n";
}

}  // namespace

std::string bash_completion(const std::vector<CommandDescription>& commands) {
  std::vector<std::string> names;
  for (const CommandDescription& command : commands) names.push_back(command.name);
  names.insert(names.end(), {"--help", "--version"});
  std::string text = std::string(bash_start) + "    " + offer(names) + "\n    return\n  fi\n";
  for (const CommandDescription& command : commands) {
    if (!command.also.empty()) text += fmt::format("  [[ $place == {} ]] && place={}\n", command.also, command.name);
    if (command.actions.empty()) continue;
    std::vector<std::string> actions;
    for (const CommandDescription& action : command.actions) actions.push_back(action.name);
    text += fmt::format("  if [[ $place == {} ]]; then\n", command.name);
    text += "    if (( COMP_CWORD == 2 )); then " + offer(actions) + "; return; fi\n";
    text += "    place+=\" ${COMP_WORDS[2]}\"\n  fi\n";
  }
  text += "  case $place in\n";
  for (const CommandDescription& command : commands) {
    if (command.actions.empty()) text += branch(command.name, command);
    for (const CommandDescription& action : command.actions) text += branch(command.name + " " + action.name, action);
  }
  return text + "  esac\n}\ncomplete -F _romanesca romanesca\n";
}

}  // namespace romanesca
