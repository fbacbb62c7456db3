#pragma once

#include <sstream>
#include <string>
#include <vector>

#include "cli/program.h"

namespace romanesca::test {

struct Outcome {
  int status = 0;
  std::string out, err;
};

/// Runs the program within the test's process, with strings as its streams.
/// @param configuration folder of settings; empty for none @param data folder of the students' record
/// @param terminal whether the input is a terminal
inline Outcome run_in_process(const std::vector<std::string>& arguments, const std::string& input = "",
                              const std::filesystem::path& configuration = {}, const std::filesystem::path& data = {},
                              bool terminal = false) {
  std::istringstream in(input);
  std::ostringstream out, err;
  Console console{
      in,      out, err,           false, false,
      false,   80,  configuration, data,  Date{std::chrono::year(2026), std::chrono::month(11), std::chrono::day(20)},
      terminal};
  const ExitStatus status = run_program(arguments, console);
  return {static_cast<int>(status), out.str(), err.str()};
}

}  // namespace romanesca::test
