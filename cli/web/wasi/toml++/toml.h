// The part of TOML that the program's own data files use, for the page, where the library would take a third of the
// room. The program reads by toml++; tests/web compares what both make of every file.
#pragma once

#include <cstdint>
#include <cstdlib>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

namespace toml {

struct source_position {
  unsigned line = 0, column = 0;
};
struct source_region {
  source_position begin, end;
};

class array;
class table;

class node {
 public:
  enum class kind : std::uint8_t { text, whole, real, truth, list, rows };
  kind what = kind::whole;
  std::string text;
  double number = 0;
  std::shared_ptr<toml::array> items;
  std::shared_ptr<toml::table> fields;
  source_region where;

  [[nodiscard]] const source_region& source() const { return where; }
  [[nodiscard]] bool is_string() const { return what == kind::text; }
  [[nodiscard]] const toml::array* as_array() const { return what == kind::list ? items.get() : nullptr; }
  [[nodiscard]] const toml::table* as_table() const { return what == kind::rows ? fields.get() : nullptr; }

  template <typename T>
  [[nodiscard]] std::optional<T> value() const {
    if constexpr (std::is_same_v<T, std::string> || std::is_same_v<T, std::string_view>) {
      if (what == kind::text) return T(text);
    } else if constexpr (std::is_same_v<T, bool>) {
      if (what == kind::truth) return number != 0;
    } else if constexpr (std::is_integral_v<T>) {
      if (what == kind::whole) return static_cast<T>(number);
    } else {
      if (what == kind::whole || what == kind::real) return static_cast<T>(number);
    }
    return std::nullopt;
  }
  template <typename T>
  [[nodiscard]] T value_or(T otherwise) const {
    return value<T>().value_or(std::move(otherwise));
  }
};

/// A field that may not be there.
class node_view {
 public:
  explicit node_view(const node* seen) : node_(seen) {}
  template <typename T>
  [[nodiscard]] std::optional<T> value() const {
    return node_ != nullptr ? node_->value<T>() : std::nullopt;
  }
  template <typename T>
  [[nodiscard]] T value_or(T otherwise) const {
    return value<T>().value_or(std::move(otherwise));
  }
  [[nodiscard]] const toml::array* as_array() const { return node_ != nullptr ? node_->as_array() : nullptr; }
  [[nodiscard]] const toml::table* as_table() const { return node_ != nullptr ? node_->as_table() : nullptr; }
  [[nodiscard]] explicit operator bool() const { return node_ != nullptr; }

 private:
  const node* node_;
};

class array {
 public:
  std::vector<node> all;
  source_region where;
  [[nodiscard]] const source_region& source() const { return where; }
  [[nodiscard]] auto begin() const { return all.begin(); }
  [[nodiscard]] auto end() const { return all.end(); }
  [[nodiscard]] std::size_t size() const { return all.size(); }
  [[nodiscard]] bool empty() const { return all.empty(); }
  [[nodiscard]] const node* get(std::size_t i) const { return i < all.size() ? &all[i] : nullptr; }
};

class key {
 public:
  key(std::string name) : name_(std::move(name)) {}  // NOLINT(google-explicit-constructor)
  [[nodiscard]] std::string_view str() const { return name_; }
  friend bool operator<(const key& a, const key& b) { return a.name_ < b.name_; }

 private:
  std::string name_;
};

class table {
 public:
  std::map<key, node> all;
  source_region where;
  [[nodiscard]] auto begin() const { return all.begin(); }
  [[nodiscard]] auto end() const { return all.end(); }
  [[nodiscard]] const source_region& source() const { return where; }
  [[nodiscard]] node_view operator[](std::string_view name) const {
    const auto found = all.find(key(std::string(name)));
    return node_view(found == all.end() ? nullptr : &found->second);
  }
};

class parse_error {
 public:
  [[nodiscard]] const source_region& source() const { return where; }
  [[nodiscard]] std::string_view description() const { return "the data cannot be read"; }
  source_region where;
};

class parse_result {
 public:
  std::optional<toml::table> found;
  parse_error fault;
  explicit operator bool() const { return found.has_value(); }
  [[nodiscard]] const parse_error& error() const { return fault; }
  [[nodiscard]] const toml::table& table() const& { return *found; }
  [[nodiscard]] toml::table table() && { return std::move(*found); }
};

/// Reads left to right; stops at the first sign it does not know.
class reader {
 public:
  explicit reader(std::string_view text) : text_(text) {}

  parse_result read() {
    parse_result result;
    toml::table root;
    toml::table* current = &root;
    for (blank(true); !done() && good_; blank(true)) {
      if (peek() == '[') {
        current = open_table(root);
      } else {
        const std::string name = word();
        blank(false);
        expect('=');
        blank(false);
        if (good_) current->all.insert_or_assign(key(name), item());
      }
      blank(false);
      if (!done() && peek() != '\n') good_ = false;
    }
    result.fault.where = here();
    if (good_) result.found = std::move(root);
    return result;
  }

 private:
  [[nodiscard]] bool done() const { return at_ >= text_.size(); }
  [[nodiscard]] char peek() const { return done() ? '\0' : text_[at_]; }
  [[nodiscard]] source_region here() const { return {{line_, 1}, {line_, 1}}; }
  void step() {
    if (peek() == '\n') ++line_;
    ++at_;
  }
  void expect(char sign) {
    if (peek() == sign) return step();
    good_ = false;
  }
  /// Blanks and comments, and line ends where they may stand.
  void blank(bool lines) {
    while (!done()) {
      const char c = peek();
      if (c == '#') {
        while (!done() && peek() != '\n') step();
      } else if (c == ' ' || c == '\t' || c == '\r' || (lines && c == '\n')) {
        step();
      } else {
        return;
      }
    }
  }
  std::string word() {
    if (peek() == '"') return quoted();
    std::string name;
    const auto plain = [](char c) {
      return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
    };
    while (plain(peek())) {
      name += peek();
      step();
    }
    good_ = good_ && !name.empty();
    return name;
  }
  toml::table* open_table(toml::table& root) {
    toml::table* inside = &root;
    do {
      step();  // the bracket or the dot
      const std::string name = word();
      node& each = inside->all[key(name)];
      if (each.fields == nullptr) {
        each.what = node::kind::rows;
        each.fields = std::make_shared<toml::table>();
        each.where = each.fields->where = here();
      }
      inside = each.fields.get();
    } while (good_ && peek() == '.');
    expect(']');
    return inside;
  }
  void append_code_point(std::string& out, unsigned code) {
    if (code < 0x80) {
      out += static_cast<char>(code);
    } else if (code < 0x800) {
      out += static_cast<char>(0xC0 | code >> 6);
      out += static_cast<char>(0x80 | (code & 0x3F));
    } else if (code < 0x10000) {
      out += static_cast<char>(0xE0 | code >> 12);
      out += static_cast<char>(0x80 | (code >> 6 & 0x3F));
      out += static_cast<char>(0x80 | (code & 0x3F));
    } else {
      out += static_cast<char>(0xF0 | code >> 18);
      out += static_cast<char>(0x80 | (code >> 12 & 0x3F));
      out += static_cast<char>(0x80 | (code >> 6 & 0x3F));
      out += static_cast<char>(0x80 | (code & 0x3F));
    }
  }
  std::string quoted() {
    std::string out;
    step();
    while (!done() && peek() != '"' && peek() != '\n') {
      if (peek() != '\\') {
        out += peek();
        step();
        continue;
      }
      step();
      const char sign = peek();
      step();
      if (sign == 'u' || sign == 'U') {
        const std::size_t digits = sign == 'u' ? 4 : 8;
        append_code_point(
            out, static_cast<unsigned>(std::strtoul(std::string(text_.substr(at_, digits)).c_str(), nullptr, 16)));
        at_ += digits;
      } else {
        out += sign == 'n' ? '\n' : sign == 't' ? '\t' : sign;
      }
    }
    expect('"');
    return out;
  }
  node item() {
    node made;
    made.where = here();
    if (peek() == '"') {
      made.what = node::kind::text;
      made.text = quoted();
    } else if (peek() == '[') {
      made.what = node::kind::list;
      made.items = std::make_shared<toml::array>();
      made.items->where = made.where;
      step();
      for (blank(true); good_ && !done() && peek() != ']'; blank(true)) {
        made.items->all.push_back(item());
        blank(true);
        if (peek() == ',') step();
      }
      expect(']');
    } else {
      std::string plain;
      while (!done() && std::string_view(" \t\r\n,]#").find(peek()) == std::string_view::npos) {
        plain += peek();
        step();
      }
      if (plain == "true" || plain == "false") {
        made.what = node::kind::truth;
        made.number = plain == "true" ? 1 : 0;
      } else {
        char* end = nullptr;
        made.number = std::strtod(plain.c_str(), &end);
        good_ = good_ && !plain.empty() && *end == '\0';
        made.what = plain.find_first_of(".eE") == std::string::npos ? node::kind::whole : node::kind::real;
      }
    }
    return made;
  }

  std::string_view text_;
  std::size_t at_ = 0;
  unsigned line_ = 1;
  bool good_ = true;
};

[[nodiscard]] inline parse_result parse(std::string_view text) { return reader(text).read(); }

}  // namespace toml
