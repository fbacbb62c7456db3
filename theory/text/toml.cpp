#include "theory/text/toml.h"

#include <fmt/format.h>

#include <limits>
#include <set>
#include <utility>

#include "theory/text/characters.h"

namespace romanesca {
namespace {

bool is_bare(char c) { return is_letter(c) || is_digit(c) || c == '_' || c == '-'; }

/// One function for each rule of the grammar. A function that meets an error records it and returns nothing; the first
/// error counts.
class TomlReader {
 public:
  explicit TomlReader(const EmbeddedText& file) : file_(file), text_(file.text) {}

  Parsed<TomlTable> read() {
    TomlTable root(TextPlace{1, 1, 1});
    TomlTable* current = &root;
    check_characters();
    for (skip_lines(); !error_ && !at_end(); skip_lines()) {
      if (peek() == '[') {
        current = read_header(root);
      } else {
        read_entry(*current);
      }
      skip_blanks();
      if (!at_end() && peek() != '\n') {
        fail(place(), "unexpected characters at the end of the line", "each line holds one name = value");
      }
    }
    if (error_) return *std::move(error_);
    return root;
  }

 private:
  // Characters.
  [[nodiscard]] bool at_end() const { return at_ >= text_.size(); }
  [[nodiscard]] char peek() const { return at_end() ? '\0' : text_[at_]; }
  [[nodiscard]] TextPlace place() const { return {line_, column_, 1}; }

  char take() {
    const char c = text_[at_++];
    if (c == '\n') {
      ++line_;
      column_ = 1;
    } else if (at_end() || begins_code_point(text_[at_])) {
      ++column_;
    }
    return c;
  }

  /// Takes the character if it is the next one.
  bool take_if(char wanted) {
    if (at_end() || peek() != wanted) return false;
    take();
    return true;
  }

  /// Spaces, tabs, the carriage return before a line's end, and a comment.
  void skip_blanks() {
    while (peek() == ' ' || peek() == '\t' || peek() == '\r') take();
    if (peek() != '#') return;
    while (!at_end() && peek() != '\n') take();
  }

  void skip_lines() {
    do skip_blanks();
    while (take_if('\n'));
  }

  void fail(const TextPlace& where, std::string message, std::string hint) {
    if (!error_) error_ = toml_error(file_, where, std::move(message), std::move(hint));
  }

  /// UTF-8 without control characters, which TOML allows nowhere.
  void check_characters() {
    int line = 1;
    for (std::size_t begin = 0; begin <= text_.size() && !error_; ++line) {
      const std::size_t end = std::min(text_.find('\n', begin), text_.size());
      std::string_view row = text_.substr(begin, end - begin);
      if (end < text_.size() && row.ends_with('\r')) row.remove_suffix(1);
      if (const auto bad = first_bad_byte(row)) {
        const TextPlace where{line, static_cast<int>(code_points(row.substr(0, *bad))) + 1, 1};
        const bool control = static_cast<unsigned char>(row[*bad]) < 0x80;
        fail(where, control ? "control character" : "not text in UTF-8",
             control ? "remove it" : "save the file as UTF-8");
      }
      begin = end + 1;
    }
  }

  // Names.
  std::optional<std::string> read_name() {
    if (peek() == '"') return read_string();
    std::string name;
    while (is_bare(peek())) name += take();
    if (!name.empty()) return name;
    fail(place(), "expected a name", "names have letters of English, digits, - and _; write others in double quotes");
    return std::nullopt;
  }

  /// "[a.b]": the table, made where it is missing.
  TomlTable* read_header(TomlTable& root) {
    const TextPlace begin = place();
    take();
    if (peek() == '[') {
      fail(begin, "arrays of tables are not supported", "write one bracket and a different name for each table");
      return &root;
    }
    TomlTable* table = &root;
    std::vector<std::string> path;
    do {
      skip_spaces();
      auto name = read_name();
      if (!name) return &root;
      path.push_back(std::move(*name));
      table = table_in(*table, path, begin);
      if (table == nullptr) return &root;
      skip_spaces();
    } while (take_if('.'));
    if (!take_if(']')) fail(place(), "expected ]", "a table's name stands alone on its line, like [drums]");
    if (!headers_.insert(path).second) {
      fail(begin, fmt::format("the table \"{}\" is given twice", path.back()), "join the two tables");
    }
    return table;
  }

  /// The last name of the path within the table of those before.
  TomlTable* table_in(TomlTable& outer, const std::vector<std::string>& path, const TextPlace& begin) {
    if (path.size() > static_cast<std::size_t>(deepest_toml)) {
      fail(begin, "too many names in brackets", fmt::format("at most {} names", deepest_toml));
      return nullptr;
    }
    TomlValue* value = outer.find(path.back());
    if (value == nullptr) value = &outer.add(path.back(), TomlValue(begin, TomlTable(begin)));
    if (value->table() == nullptr) {
      fail(begin, fmt::format("\"{}\" is already the name of a value", path.back()), "choose another name");
    }
    return value->table();
  }

  void skip_spaces() {
    while (peek() == ' ' || peek() == '\t') take();
  }

  /// "name = value".
  void read_entry(TomlTable& table) {
    const TextPlace begin = place();
    auto name = read_name();
    if (!name) return;
    skip_spaces();
    if (!take_if('=')) return fail(place(), "expected = after the name", "write name = value");
    skip_spaces();
    auto value = read_value(1);
    if (!value) return;
    if (const TomlValue* first = table.find(*name)) {
      return fail(begin, fmt::format("\"{}\" is given twice", *name),
                  fmt::format("it is already in line {}", first->place().line));
    }
    table.add(std::move(*name), std::move(*value));
  }

  // Values.
  std::optional<TomlValue> read_value(int depth) {
    const TextPlace begin = place();
    if (peek() == '"') {
      auto text = read_string();
      if (!text) return std::nullopt;
      return TomlValue(begin, std::move(*text));
    }
    if (peek() == '[') return read_array(depth);
    return read_word();
  }

  std::optional<TomlValue> read_array(int depth) {
    const TextPlace begin = place();
    take();
    if (depth > deepest_toml) {
      fail(begin, "too many brackets within brackets", fmt::format("at most {}", deepest_toml));
      return std::nullopt;
    }
    TomlArray items;
    for (skip_lines(); !take_if(']'); skip_lines()) {
      if (at_end()) {
        fail(begin, "the bracket is not closed", "write ] at its end");
        return std::nullopt;
      }
      auto item = read_value(depth + 1);
      if (!item) return std::nullopt;
      items.push_back(std::move(*item));
      skip_lines();
      if (!take_if(',') && peek() != ']' && !at_end()) {
        fail(place(), "expected a comma or ]", "write a comma between two values");
        return std::nullopt;
      }
    }
    return TomlValue(begin, std::move(items));
  }

  /// true, false or a number.
  std::optional<TomlValue> read_word() {
    const TextPlace begin = place();
    std::string word;
    while (!at_end() && std::string_view(" \t\r\n,]#").find(peek()) == std::string_view::npos) word += take();
    if (word == "true" || word == "false") return TomlValue(begin, word == "true");
    if (const auto number = number_of(word)) return TomlValue(begin, *number);
    fail(begin, word.empty() ? "expected a value" : fmt::format("cannot read the value {}", word),
         "a value is a text in double quotes, a number like 3 or -1.5, true, false, or values in brackets");
    return std::nullopt;
  }

  /// A whole or decimal number of at most 15 digits. The quotient of two integers below 2^53 is rounded once, so it is
  /// the nearest double (Clinger, How to read floating point numbers accurately, PLDI 1990).
  static std::optional<TomlValue::Data> number_of(std::string_view word) {
    const bool negative = word.starts_with('-');
    if (negative || word.starts_with('+')) word.remove_prefix(1);
    const std::size_t point = std::min(word.find('.'), word.size());
    const std::string_view whole = word.substr(0, point);
    const std::string_view parts = word.substr(std::min(point + 1, word.size()));
    const bool decimal = point < word.size();
    if (whole.empty() || (decimal && parts.empty()) || whole.size() + parts.size() > 15) return std::nullopt;
    if (whole.size() > 1 && whole.front() == '0') return std::nullopt;
    std::int64_t digits = 0;
    std::int64_t scale = 1;
    for (const std::string_view part : {whole, parts}) {
      for (const char c : part) {
        if (!is_digit(c)) return std::nullopt;
        digits = digits * 10 + (c - '0');
      }
    }
    for (std::size_t i = 0; i < parts.size(); ++i) scale *= 10;
    if (!decimal) return negative ? -digits : digits;
    const double size = static_cast<double>(digits) / static_cast<double>(scale);
    return negative ? -size : size;
  }

  std::optional<std::string> read_string() {
    const TextPlace begin = place();
    take();
    std::string text;
    while (!take_if('"')) {
      if (at_end() || peek() == '\n') {
        fail(begin, "the quote is not closed", "write \" at its end, on the same line");
        return std::nullopt;
      }
      if (peek() != '\\') {
        text += take();
      } else if (!read_escape(text)) {
        return std::nullopt;
      }
    }
    return text;
  }

  bool read_escape(std::string& text) {
    const TextPlace begin = place();
    take();
    const char sign = at_end() || peek() == '\n' ? '\0' : take();
    constexpr std::string_view signs = "btnfr\"\\";
    constexpr std::string_view meanings = "\b\t\n\f\r\"\\";
    if (const std::size_t found = signs.find(sign); found != std::string_view::npos) {
      text += meanings[found];
      return true;
    }
    if ((sign == 'u' || sign == 'U') && read_code_point(sign == 'u' ? 4 : 8, text)) return true;
    fail(begin, "unknown escape in a text", R"(write \\ for a backslash, \" for a quote, \u00E9 for a character)");
    return false;
  }

  /// Hexadecimal digits of a Unicode scalar value.
  bool read_code_point(int digits, std::string& text) {
    std::uint32_t code = 0;
    for (int i = 0; i < digits; ++i) {
      const char c = small_letter(peek());
      const bool letter = c >= 'a' && c <= 'f';
      if (!is_digit(c) && !letter) return false;
      code = code << 4U | static_cast<std::uint32_t>(letter ? c - 'a' + 10 : c - '0');
      take();
    }
    if (code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return false;
    append_code_point(text, code);
    return true;
  }

  const EmbeddedText& file_;
  std::string_view text_;
  std::size_t at_ = 0;
  int line_ = 1, column_ = 1;
  std::set<std::vector<std::string>> headers_;
  std::optional<TextError> error_;
};

}  // namespace

TomlTable::TomlTable(TextPlace place) : place_(place) {}

const TomlValue* TomlTable::find(std::string_view name) const {
  const auto found = positions_.find(name);
  return found == positions_.end() ? nullptr : &entries_[found->second].value;
}

TomlValue* TomlTable::find(std::string_view name) {
  const auto found = positions_.find(name);
  return found == positions_.end() ? nullptr : &entries_[found->second].value;
}

std::optional<std::string> TomlTable::string(std::string_view name) const {
  const TomlValue* value = find(name);
  if (value == nullptr || value->string() == nullptr) return std::nullopt;
  return *value->string();
}

std::optional<int> TomlTable::integer(std::string_view name) const {
  const TomlValue* value = find(name);
  return value != nullptr ? value->integer() : std::nullopt;
}

std::optional<double> TomlTable::number(std::string_view name) const {
  const TomlValue* value = find(name);
  return value != nullptr ? value->number() : std::nullopt;
}

const TomlArray* TomlTable::array(std::string_view name) const {
  const TomlValue* value = find(name);
  return value != nullptr ? value->array() : nullptr;
}

const TomlTable* TomlTable::table(std::string_view name) const {
  const TomlValue* value = find(name);
  return value != nullptr ? value->table() : nullptr;
}

TomlValue& TomlTable::add(std::string name, TomlValue value) {
  positions_.emplace(name, entries_.size());
  return entries_.emplace_back(TomlEntry{std::move(name), std::move(value)}).value;
}

TomlValue::TomlValue(TextPlace place, Data data) : place_(place), data_(std::move(data)) {}

std::optional<int> TomlValue::integer() const {
  const auto* whole = std::get_if<std::int64_t>(&data_);
  if (whole == nullptr || *whole < std::numeric_limits<int>::min() || *whole > std::numeric_limits<int>::max()) {
    return std::nullopt;
  }
  return static_cast<int>(*whole);
}

std::optional<double> TomlValue::number() const {
  if (const auto* whole = std::get_if<std::int64_t>(&data_)) return static_cast<double>(*whole);
  if (const auto* decimal = std::get_if<double>(&data_)) return *decimal;
  return std::nullopt;
}

Parsed<TomlTable> parse_toml(const EmbeddedText& file) { return TomlReader(file).read(); }

TextError toml_error(const EmbeddedText& file, const TextPlace& place, std::string message, std::string hint) {
  TextError error;
  error.source = std::string(file.name) + ".toml";
  error.place = place;
  error.message = std::move(message);
  error.hint = std::move(hint);
  return error;
}

}  // namespace romanesca
