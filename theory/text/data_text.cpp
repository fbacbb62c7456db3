#include "theory/text/data_text.h"

#include <fmt/format.h>

#include <cstdint>

#include "theory/text/ascii_text.h"

namespace romanesca {
namespace {

bool stands_in_name(char c) { return is_letter(c) || is_digit(c) || c == '_' || c == '-'; }

class Scanner {
 public:
  explicit Scanner(std::string_view text) : text_(text) {}

  DataText scan() {
    DataText result;
    for (; at_ < text_.size() && !result.fault; ++at_) {
      const char c = text_[at_];
      ++place_.column;  // columns count code points
      if (static_cast<unsigned char>(c) >= 0x80) {
        result.fault = beyond_ascii(result.ascii);
        continue;
      }
      result.ascii += c;
      if (c == '\n') {
        place_ = {place_.line + 1, 0, 1};
        quote_ = 0;
        line_begins_ = true;
      } else if (quote_ != 0) {
        in_quotes(c, result.ascii);
      } else {
        result.fault = outside_quotes(c);
      }
    }
    return result;
  }

 private:
  void in_quotes(char c, std::string& ascii) {
    const bool escapes = quote_ == '"' && c == '\\' && at_ + 1 < text_.size();
    if (escapes && text_[at_ + 1] != '\n' && static_cast<unsigned char>(text_[at_ + 1]) < 0x80) {
      ascii += text_[++at_];
      ++place_.column;
    } else if (c == quote_ && quote_ != '#') {
      quote_ = 0;
    }
  }

  /// A letter that takes several bytes: an escape in a string, a question mark in a comment.
  std::optional<DataFault> beyond_ascii(std::string& ascii) {
    const std::size_t length = code_point_length();
    if (length == 0) return DataFault{"a byte stands here that is no text in UTF-8", place_};
    if (quote_ == '#') {
      ascii += '?';
    } else if (quote_ == '"') {
      std::uint32_t code = static_cast<unsigned char>(text_[at_]) & (0xFFU >> (length + 1));
      for (std::size_t i = 1; i < length; ++i) code = code << 6U | (static_cast<unsigned char>(text_[at_ + i]) & 0x3FU);
      ascii += fmt::format("\\U{:08X}", code);
    } else {
      return DataFault{quote_ == 0 ? "outside quotes only plain letters, without accents or signs, can stand"
                                   : "letters with accents or signs stand in double quotes, not in single ones",
                       place_};
    }
    at_ += length - 1;
    return std::nullopt;
  }

  /// Bytes of the code point that begins here; 0 where none does.
  [[nodiscard]] std::size_t code_point_length() const {
    const auto first = static_cast<unsigned char>(text_[at_]);
    const std::size_t length = first >= 0xF0 && first < 0xF5 ? 4 : first >= 0xE0 ? 3 : first >= 0xC2 ? 2 : 0;
    if (first >= 0xF5 || length == 0 || at_ + length > text_.size()) return 0;
    for (std::size_t i = 1; i < length; ++i) {
      if ((static_cast<unsigned char>(text_[at_ + i]) & 0xC0U) != 0x80U) return 0;
    }
    return length;
  }

  std::optional<DataFault> outside_quotes(char c) {
    const auto byte = static_cast<unsigned char>(c);
    if ((byte < 0x20 && c != '\t' && c != '\r') || byte == 0x7F) {
      return DataFault{"a control character stands here", place_};
    }
    const bool opens = c == '"' || c == '\'';
    if (opens && !line_begins_ && last_ != '=' && last_ != '[' && last_ != ',') {
      return DataFault{"a quote stands in the middle of a word; write name = \"text\"", place_};
    }
    if (opens || c == '#') quote_ = c;
    if (c == '[') {
      if (depth_ == 0 && line_begins_ && !name_follows()) {
        return DataFault{"a name stands in brackets alone on its line, like [drums]", place_};
      }
      ++depth_;
    }
    if (c == ']' && depth_ > 0) --depth_;
    if (c != ' ' && c != '\t' && c != '\r') {
      line_begins_ = false;
      last_ = c;
    }
    return std::nullopt;
  }

  /// After the bracket: plain names with dots between them and the closing bracket, then nothing but blanks and a
  /// comment.
  [[nodiscard]] bool name_follows() const {
    std::size_t end = at_;
    do {
      const std::size_t name = ++end;
      while (end < text_.size() && stands_in_name(text_[end])) ++end;
      if (end == name) return false;
    } while (end < text_.size() && text_[end] == '.');
    if (end >= text_.size() || text_[end] != ']') return false;
    ++end;
    while (end < text_.size() && (text_[end] == ' ' || text_[end] == '\t' || text_[end] == '\r')) ++end;
    return end >= text_.size() || text_[end] == '\n' || text_[end] == '#';
  }

  std::string_view text_;
  std::size_t at_ = 0;
  TextPlace place_{1, 0, 1};
  char quote_ = 0;  ///< the one that is open, or # in a comment
  int depth_ = 0;   ///< of brackets
  bool line_begins_ = true;
  char last_ = 0;  ///< the last that was no blank
};

}  // namespace

DataText read_data_text(std::string_view text) { return Scanner(text).scan(); }

}  // namespace romanesca
