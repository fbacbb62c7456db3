#pragma once

#include <stdexcept>
#include <string>

namespace romanesca {

/// A file could not be written or read: the disk's reason, in words. The command line turns it into its own error.
class FileError : public std::runtime_error {
 public:
  /// @param number that of errno, where the system gave one
  explicit FileError(const std::string& reason, int number = 0) : std::runtime_error(reason), number_(number) {}

  [[nodiscard]] int number() const noexcept { return number_; }

 private:
  int number_;
};

}  // namespace romanesca
