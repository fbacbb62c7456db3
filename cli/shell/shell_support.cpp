#include "cli/shell/shell_support.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/commands/write_output.h"
#include "cli/shell/completion.h"
#include "cli/shell/man_page.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

std::string page(const std::string& name, Console& console) {
  const std::vector<CommandDescription> all = describe_commands(console);
  if (name.empty()) return man_page(all, ROMANESCA_VERSION, ROMANESCA_RELEASED);
  const auto found = std::find_if(all.begin(), all.end(), [&](const auto& command) { return command.name == name; });
  if (found != all.end()) return man_page(*found, ROMANESCA_VERSION, ROMANESCA_RELEASED);
  throw Failure(ExitStatus::wrong_input, fmt::format("--man: unknown command \"{}\"", name),
                "romanesca --help lists the commands");
}

std::string completion(const std::string& shell, Console& console) {
  const std::vector<CommandDescription> all = describe_commands(console);
  if (shell == "bash") return bash_completion(all);
  if (shell == "zsh") return zsh_completion(all);
  if (shell == "fish") return fish_completion(all);
  throw Failure(ExitStatus::wrong_input, fmt::format("--completion: unknown shell \"{}\"", shell),
                "choose bash, zsh or fish");
}

// cppcheck-suppress constParameterCallback; same signature as page and completion
std::string words(const std::string& list, Console& console) {
  const auto found = words_of_list(list, console);
  if (!found) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--words: unknown list \"{}\"", list),
                  "choose commands, progressions, styles, exercises or students");
  }
  std::string text;
  for (const std::string& word : *found) text += word + "\n";
  return text;
}

}  // namespace

bool answer_shell(const std::vector<std::string>& arguments, Console& console) {
  if (arguments.empty()) return false;
  const std::string& option = arguments.front();
  const std::string word = arguments.size() > 1 ? arguments[1] : "";
  if (option != "--man" && option != "--completion" && option != "--words") return false;
  if (arguments.size() > 2)
    throw Failure(ExitStatus::wrong_input, option + ": there is one word too many",
                  "give one word, or none with --man");
  const auto text_of = option == "--man" ? page : option == "--completion" ? completion : words;
  write_output(text_of(word, console), std::nullopt, console);
  return true;
}

}  // namespace romanesca
