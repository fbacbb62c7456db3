#include "cli/commands/paper_option.h"

#include <fmt/format.h>

#include "theory/text/errors.h"

namespace romanesca {

PaperSettings paper_named(const std::string& name) {
  PaperSettings paper;
  if (name == "letter") {
    paper.width = 612;
    paper.height = 792;
  } else if (name != "a4") {
    throw Failure(ExitStatus::wrong_input, fmt::format("--paper: \"{}\" is none that I know", name),
                  "it is a4 or letter");
  }
  return paper;
}

}  // namespace romanesca
