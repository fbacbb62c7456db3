#include <sys/ioctl.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <iostream>
#include <string_view>

#include "cli/accidental_signs.h"
#include "cli/program.h"

namespace {

int terminal_width() {
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 20) return size.ws_col;
  return 80;
}

/// As the XDG Base Directory Specification has it: the folder that the variable names, else one in the home folder.
std::filesystem::path own_folder(const char* variable, const char* in_home) {
  const char* const folder = std::getenv(variable);
  if (folder != nullptr && *folder != 0) return std::filesystem::path(folder) / "romanesca";
  const char* const home = std::getenv("HOME");
  if (home != nullptr && *home != 0) return std::filesystem::path(home) / in_home / "romanesca";
  return {};
}

}  // namespace

int main(int argc, char** argv) {
  std::ios::sync_with_stdio(false);
  std::signal(SIGXFSZ, SIG_IGN);  // a limit on the size of files is refused and told of like a full disk
  const bool out_is_terminal = isatty(STDOUT_FILENO) != 0;
  const char* const debug = std::getenv("ROMANESCA_DEBUG");
  romanesca::Console console{std::cin,
                             std::cout,
                             std::cerr,
                             out_is_terminal,
                             isatty(STDERR_FILENO) != 0,
                             out_is_terminal && std::getenv("NO_COLOR") == nullptr,
                             terminal_width(),
                             own_folder("XDG_CONFIG_HOME", ".config"),
                             own_folder("XDG_DATA_HOME", ".local/share"),
                             romanesca::local_date(),
                             isatty(STDIN_FILENO) != 0,
                             nullptr,
                             debug != nullptr && std::string_view(debug) == "1",
                             romanesca::locale_is_utf8()};
  const std::vector<std::string> arguments(argv + 1, argv + argc);
  return static_cast<int>(romanesca::run_program(arguments, console));
}
