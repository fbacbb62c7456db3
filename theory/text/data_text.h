#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "theory/text/errors.h"

namespace romanesca {

struct DataFault {
  std::string_view message;
  TextPlace place;
};

/// A data file made safe for the TOML reader of Debian 12 (3.3), which does not stand everything: letters that are not
/// ASCII are written as escapes in strings and as question marks in comments. What it would stumble on is found
/// beforehand, to be refused with its place: such letters and control characters elsewhere (TOML 1.0 allows neither),
/// bytes that are no UTF-8, a line that begins with a bracket without a plain name behind it, a quote in the middle of
/// a word.
struct DataText {
  std::string ascii;
  std::optional<DataFault> fault;
};
[[nodiscard]] DataText read_data_text(std::string_view text);

}  // namespace romanesca
