#include "cli/commands/write_output.h"

#include <ostream>

#include "cli/or_throw.h"
#include "cli/studio/output_file.h"

namespace romanesca {

void write_output(const std::string& text, const std::optional<std::string>& file, Console& console) {
  if (file) {
    or_throw(write_file(*file, text));
    return;
  }
  console.out << text << std::flush;
  if (!console.out)
    throw Failure(ExitStatus::file_refused, "cannot write to standard output",
                  "look whether the disk is full or the program closed that it goes to");
}

}  // namespace romanesca
