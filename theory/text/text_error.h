#pragma once

#include <string>
#include <utility>
#include <variant>

namespace romanesca {

/// Where something stands in a text. Columns count what the reader sees: code points, not bytes.
struct TextPlace {
  int line = 0;    ///< from 1; 0 for "no place in a text", as with a command-line option
  int column = 0;  ///< from 1
  int width = 1;   ///< code points
  friend bool operator==(const TextPlace&, const TextPlace&) = default;
};

/// The user's text is wrong: what, where, and the way out. The command line draws it with the line and a caret.
struct TextError {
  std::string message;    ///< "\"Hm7\" is no chord I know"
  std::string hint;       ///< "did you mean Bm7?", or empty
  TextPlace place;        ///< in the text
  std::string line_text;  ///< the line as the user wrote it; empty without a place
  std::string source;     ///< the file's name or what the text was, "song.txt"
  friend bool operator==(const TextError&, const TextError&) = default;
};

/// What was read from a text, or what is wrong with it. Asking for the value of a failure is a programming error.
template <typename T>
class Parsed {
 public:
  // cppcheck-suppress noExplicitConstructor
  Parsed(T value) : state_(std::move(value)) {}  // NOLINT(google-explicit-constructor): a value is a result
  // cppcheck-suppress noExplicitConstructor
  Parsed(TextError error) : state_(std::move(error)) {}  // NOLINT(google-explicit-constructor): so is an error

  [[nodiscard]] explicit operator bool() const noexcept { return state_.index() == 0; }
  [[nodiscard]] const T& operator*() const noexcept { return *std::get_if<0>(&state_); }
  [[nodiscard]] T& operator*() noexcept { return *std::get_if<0>(&state_); }
  [[nodiscard]] const T* operator->() const noexcept { return std::get_if<0>(&state_); }
  [[nodiscard]] T* operator->() noexcept { return std::get_if<0>(&state_); }
  [[nodiscard]] const TextError& error() const noexcept { return *std::get_if<1>(&state_); }
  [[nodiscard]] TextError& error() noexcept { return *std::get_if<1>(&state_); }

 private:
  std::variant<T, TextError> state_;
};

}  // namespace romanesca
