#pragma once

#include <exception>
#include <string>
#include <utility>

#include "cli/exit_status.h"
#include "theory/text/text_error.h"

namespace romanesca {

/// A command cannot go on: why, the way out, and what to tell the shell. Thrown by commands, caught once, in
/// program.cpp.
class Failure : public std::exception {
 public:
  Failure(ExitStatus status, std::string message, std::string hint = {}) : status_(status) {
    error_.message = std::move(message);
    error_.hint = std::move(hint);
  }
  explicit Failure(TextError error) : status_(ExitStatus::wrong_input), error_(std::move(error)) {}

  [[nodiscard]] const char* what() const noexcept override { return error_.message.c_str(); }
  [[nodiscard]] ExitStatus status() const noexcept { return status_; }
  [[nodiscard]] const TextError& error() const noexcept { return error_; }

 private:
  ExitStatus status_;
  TextError error_;
};

/// The value, or the error thrown.
template <typename T>
[[nodiscard]] T value_or_throw(Parsed<T> parsed) {
  if (!parsed) throw Failure(parsed.error());
  return std::move(*parsed);
}

}  // namespace romanesca
