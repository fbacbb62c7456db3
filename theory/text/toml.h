#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "theory/text/embedded_text.h"
#include "theory/text/errors.h"

namespace romanesca {

// The part of TOML 1.0.0 (toml.io/en/v1.0.0) that data files of this program use: tables under [a] and [a.b], bare and
// quoted names, strings in double quotes with escapes, whole and decimal numbers, true and false, arrays, comments.
// Everything else is refused: dotted names outside brackets, inline tables, arrays of tables, literal strings, strings
// over several lines, exponents, other bases, dates.

class TomlValue;
struct TomlEntry;
using TomlArray = std::vector<TomlValue>;

/// Names and values, in the order of the file. A question for a name that is missing, or has a value of another type,
/// gives nothing.
class TomlTable {
 public:
  explicit TomlTable(TextPlace place);

  /// Its header; line 1, column 1 for the whole file.
  [[nodiscard]] const TextPlace& place() const { return place_; }
  [[nodiscard]] const std::vector<TomlEntry>& entries() const { return entries_; }
  [[nodiscard]] const TomlValue* find(std::string_view name) const;
  [[nodiscard]] std::optional<std::string> string(std::string_view name) const;
  [[nodiscard]] std::optional<int> integer(std::string_view name) const;
  [[nodiscard]] std::optional<double> number(std::string_view name) const;
  [[nodiscard]] const TomlArray* array(std::string_view name) const;
  [[nodiscard]] const TomlTable* table(std::string_view name) const;

  /// For the reader; the name must be new.
  TomlValue& add(std::string name, TomlValue value);
  [[nodiscard]] TomlValue* find(std::string_view name);

 private:
  TextPlace place_;
  std::vector<TomlEntry> entries_;
  std::map<std::string, std::size_t, std::less<>> positions_;  ///< in the entries
};

/// A value and its place. A question for another type gives nothing.
class TomlValue {
 public:
  using Data = std::variant<bool, std::int64_t, double, std::string, TomlArray, TomlTable>;
  TomlValue(TextPlace place, Data data);

  [[nodiscard]] const TextPlace& place() const { return place_; }
  [[nodiscard]] const bool* boolean() const { return std::get_if<bool>(&data_); }
  [[nodiscard]] const std::string* string() const { return std::get_if<std::string>(&data_); }
  /// A whole number that an int can hold.
  [[nodiscard]] std::optional<int> integer() const;
  /// A whole or decimal number.
  [[nodiscard]] std::optional<double> number() const;
  [[nodiscard]] const TomlArray* array() const { return std::get_if<TomlArray>(&data_); }
  [[nodiscard]] const TomlTable* table() const { return std::get_if<TomlTable>(&data_); }
  [[nodiscard]] TomlTable* table() { return std::get_if<TomlTable>(&data_); }

 private:
  TextPlace place_;
  Data data_;
};

struct TomlEntry {
  std::string name;
  TomlValue value;
};

/// Arrays within arrays, and names within one pair of brackets; deeper ones are refused.
inline constexpr int deepest_toml = 16;

/// The file's table, or the first error: its place, and a hint.
[[nodiscard]] Parsed<TomlTable> parse_toml(const EmbeddedText& file);

/// An error in the content of such a file.
[[nodiscard]] TextError toml_error(const EmbeddedText& file, const TextPlace& place, std::string message,
                                   std::string hint = {});

}  // namespace romanesca
