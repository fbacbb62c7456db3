#pragma once

#include <filesystem>
#include <iosfwd>

#include "cli/studio/own_settings.h"
#include "cli/studio/record/student.h"

namespace romanesca {

class LiveEnvironment;

/// Where a command reads and writes, and what the terminal can do. Tests pass their own.
struct Console {
  std::istream& in;
  std::ostream& out;  ///< output
  std::ostream& err;  ///< progress, warnings, errors
  bool out_is_terminal = false;
  bool err_is_terminal = false;
  bool colour = false;                  ///< on a terminal, and NO_COLOR not set
  int width = 80;                       ///< columns of the terminal; 80 elsewhere
  std::filesystem::path configuration;  ///< the program's folder of settings; empty for none
  std::filesystem::path data{};         ///< the program's folder of the user's data; empty for none
  Date today{};                         ///< on the user's calendar
  bool in_is_terminal = false;
  LiveEnvironment* live_environment = nullptr;  ///< for live playing; nothing for this computer
  bool debug = false;                           ///< ROMANESCA_DEBUG=1: show the reason of a program fault
  bool utf8 = false;                            ///< the terminal shows UTF-8
  bool ascii = false;                           ///< --ascii

  /// Whether flats and sharps are shown as signs (accidental_signs.h).
  [[nodiscard]] bool shows_signs() const { return out_is_terminal && utf8 && !ascii; }

  [[nodiscard]] StudioFolders folders() const { return {configuration, data}; }
};

}  // namespace romanesca
