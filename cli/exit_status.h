#pragma once

namespace romanesca {

/// What the program tells the shell; the numbers are a promise to scripts.
enum class ExitStatus {
  done = 0,
  wrong_input = 2,     ///< the command line or the music text is wrong
  file_refused = 3,    ///< a file or the disk refused
  device_refused = 4,  ///< a device or port refused or vanished
  program_fault = 70,  ///< a fault of the program itself (EX_SOFTWARE in sysexits.h)
  interrupted = 130,   ///< Ctrl-C
};

}  // namespace romanesca
