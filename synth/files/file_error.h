#pragma once

#include <stdexcept>
#include <string>

namespace romanesca {

/// A file could not be written or read: the disk's reason, in words. The command line turns it into its own error.
class FileError : public std::runtime_error {
 public:
  explicit FileError(const std::string& reason) : std::runtime_error(reason) {}
};

}  // namespace romanesca
