#pragma once

#include <exception>
#include <stdexcept>
#include <string>
#include <type_traits>
#include <utility>
#include <variant>

namespace romanesca {

// The three kinds of error: TextError for what the user wrote, SystemError for what a file, disk or device refused,
// Failure for a command that cannot go on. The first and the last are values inside a Result; only the command line
// throws a Failure, and program.cpp alone catches it.

/// A place in a text. Columns count what the reader sees: code points, not bytes.
struct TextPlace {
  int line = 0;    ///< from 1; 0 for "no place in a text", as with a command-line option
  int column = 0;  ///< from 1
  int width = 1;   ///< code points
  friend bool operator==(const TextPlace&, const TextPlace&) = default;
};

/// The user's text is wrong: what, where, and what to do. The command line prints it with the line and a caret.
struct TextError {
  std::string message;      ///< "unknown chord \"Hm7\""
  std::string hint{};       ///< "did you mean Bm7?", or empty
  TextPlace place{};        ///< in the text
  std::string line_text{};  ///< the line as the user wrote it; empty without a place
  std::string source{};     ///< the file's name or what the text was, "song.txt"
  friend bool operator==(const TextError&, const TextError&) = default;
};

/// A file, disk, port or device refused. Thrown by synth, outside its audio and MIDI threads.
class SystemError : public std::runtime_error {
 public:
  /// @param reason in words @param number that of errno, where the system gave one
  explicit SystemError(const std::string& reason, int number = 0) : std::runtime_error(reason), number_(number) {}
  /// @param hint what the user can do
  SystemError(const std::string& reason, std::string hint) : std::runtime_error(reason), hint_(std::move(hint)) {}

  [[nodiscard]] int number() const noexcept { return number_; }
  [[nodiscard]] const std::string& hint() const noexcept { return hint_; }

 private:
  int number_ = 0;
  std::string hint_;
};

/// The exit status of the program; scripts rely on the numbers.
enum class ExitStatus {
  done = 0,
  wrong_input = 2,     ///< the command line or the music text is wrong
  file_refused = 3,    ///< a file or the disk refused
  device_refused = 4,  ///< a device or port refused or vanished
  program_fault = 70,  ///< a fault of the program itself (EX_SOFTWARE in sysexits.h)
  interrupted = 130,   ///< Ctrl-C
};

/// Why a command cannot go on, what the user can do, and the exit status.
class Failure : public std::exception {
 public:
  Failure(ExitStatus status, std::string message, std::string hint = {})
      : status_(status), error_{std::move(message), std::move(hint)} {}
  /// The user's text is wrong: exit status wrong_input.
  explicit Failure(TextError error) : status_(ExitStatus::wrong_input), error_(std::move(error)) {}

  [[nodiscard]] const char* what() const noexcept override { return error_.message.c_str(); }
  [[nodiscard]] ExitStatus status() const noexcept { return status_; }
  [[nodiscard]] const TextError& error() const noexcept { return error_; }

 private:
  ExitStatus status_;
  TextError error_;
};

/// A value, or why there is none. To ask a Result with an error for its value is a programming error.
template <typename T, typename Error = Failure>
class Result {
 public:
  // cppcheck-suppress noExplicitConstructor
  Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}  // NOLINT(google-explicit-constructor)
  // cppcheck-suppress noExplicitConstructor
  Result(Error error) : state_(std::in_place_index<1>, std::move(error)) {}  // NOLINT(google-explicit-constructor)
  // cppcheck-suppress noExplicitConstructor
  Result(TextError error)  // NOLINT(google-explicit-constructor)
      requires(!std::is_same_v<Error, TextError>)
      : state_(std::in_place_index<1>, std::move(error)) {}

  [[nodiscard]] explicit operator bool() const noexcept { return state_.index() == 0; }
  [[nodiscard]] const T& operator*() const& noexcept { return *std::get_if<0>(&state_); }
  [[nodiscard]] T& operator*() & noexcept { return *std::get_if<0>(&state_); }
  [[nodiscard]] T&& operator*() && noexcept { return std::move(*std::get_if<0>(&state_)); }
  [[nodiscard]] const T* operator->() const noexcept { return std::get_if<0>(&state_); }
  [[nodiscard]] T* operator->() noexcept { return std::get_if<0>(&state_); }
  [[nodiscard]] const Error& error() const noexcept { return *std::get_if<1>(&state_); }
  [[nodiscard]] Error& error() noexcept { return *std::get_if<1>(&state_); }

 private:
  std::variant<T, Error> state_;
};

/// What was read from a text, or what is wrong with it.
template <typename T>
using Parsed = Result<T, TextError>;

/// What has no value: done, or why not.
using Status = Result<std::monostate>;
inline constexpr std::monostate ok{};

}  // namespace romanesca
