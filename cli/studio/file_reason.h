#pragma once

#include <string>

namespace romanesca {

/// Why a file or folder refused, and what a person can do about it.
struct FileReason {
  std::string why;
  std::string hint;
};

/// In words for the user. @param error a number of errno; what is not known gets the system's words
[[nodiscard]] FileReason reason_not_written(int error);
[[nodiscard]] FileReason reason_not_read(int error);

}  // namespace romanesca
