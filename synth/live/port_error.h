#pragma once

#include <stdexcept>
#include <string>
#include <utility>

namespace romanesca {

/// A port or device could not be had: why, and the way out, both for a person.
class PortError : public std::runtime_error {
 public:
  PortError(const std::string& message, std::string hint) : std::runtime_error(message), hint_(std::move(hint)) {}
  [[nodiscard]] const std::string& hint() const noexcept { return hint_; }

 private:
  std::string hint_;
};

}  // namespace romanesca
