#include "theory/data_text.h"

namespace romanesca {
namespace {

bool stands_in_name(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '-';
}

class Scanner {
 public:
  explicit Scanner(std::string_view text) : text_(text) {}

  std::optional<DataFault> scan() {
    for (; at_ < text_.size(); ++at_) {
      const char c = text_[at_];
      if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80U) ++place_.column;  // columns count code points
      if (c == '\n') {
        place_ = {place_.line + 1, 0, 1};
        quote_ = 0;
        line_begins_ = true;
        continue;
      }
      if (quote_ != 0) {
        in_quotes(c);
      } else if (const auto fault = outside_quotes(c)) {
        return fault;
      }
    }
    return std::nullopt;
  }

 private:
  void in_quotes(char c) {
    if (quote_ == '"' && c == '\\' && at_ + 1 < text_.size() && text_[at_ + 1] != '\n') {
      ++at_;
      ++place_.column;
    } else if (c == quote_ && quote_ != '#') {
      quote_ = 0;
    }
  }

  std::optional<DataFault> outside_quotes(char c) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x80) {
      return DataFault{"outside quotes only plain letters, without accents or signs, can stand", place_};
    }
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

  /// After the bracket: a plain name and the closing bracket, then nothing but blanks and a comment.
  [[nodiscard]] bool name_follows() const {
    std::size_t end = at_ + 1;
    while (end < text_.size() && stands_in_name(text_[end])) ++end;
    if (end == at_ + 1 || end >= text_.size() || text_[end] != ']') return false;
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

std::optional<DataFault> data_fault(std::string_view text) { return Scanner(text).scan(); }

}  // namespace romanesca
