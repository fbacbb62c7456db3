#pragma once

#include <unistd.h>

#include <array>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "tests/cli/in_process.h"

namespace romanesca::test {

/// An empty folder, in memory where the system has one, the working folder of the fuzzer from now on; emptied again by
/// each call.
inline const std::filesystem::path& empty_scratch() {
  static const std::filesystem::path folder = [] {
    const bool in_memory = access("/dev/shm", W_OK) == 0;
    std::string name = (in_memory ? std::string("/dev/shm") : std::filesystem::temp_directory_path().string()) +
                       "/romanesca-fuzz-XXXXXX";
    if (mkdtemp(name.data()) == nullptr || chdir(name.c_str()) != 0) std::abort();
    std::atexit([] {
      std::error_code ignored;
      std::filesystem::remove_all(std::filesystem::current_path(ignored), ignored);
    });
    return std::filesystem::path(name);
  }();
  for (const auto& each : std::filesystem::directory_iterator(folder)) std::filesystem::remove_all(each.path());
  return folder;
}

/// Ends the fuzzer if the program said something that is for programmers, or refused without saying why.
/// @param typed what the user gave, which messages repeat
inline void must_be_told_well(const Outcome& outcome, std::string_view typed) {
  constexpr std::array<std::string_view, 10> not_for_users{"a fault in the program",
                                                           "std::",
                                                           "basic_string",
                                                           "json.exception",
                                                           "terminate",
                                                           "0x",
                                                           "NaN",
                                                           "bad_alloc",
                                                           "sqlite3_",
                                                           "Assertion"};
  if (outcome.status == 0) return;
  bool well = outcome.err.starts_with("romanesca: ");
  for (const auto word : not_for_users) {
    well = well && (outcome.err.find(word) == std::string::npos || typed.find(word) != std::string_view::npos);
  }
  if (well) return;
  std::fprintf(stderr, "status %d\n%s\n", outcome.status, outcome.err.c_str());
  std::abort();
}

}  // namespace romanesca::test
