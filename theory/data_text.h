#pragma once

#include <optional>
#include <string_view>

#include "theory/text_error.h"

namespace romanesca {

struct DataFault {
  std::string_view message;
  TextPlace place;
};

/// What the TOML reader of Debian 12 (3.3) does not stand in a data file, found beforehand so that it can be refused
/// with its place: control characters and letters that are not ASCII outside quotes and comments (TOML 1.0 allows
/// neither), and a line that begins with a bracket without a plain name behind it.
[[nodiscard]] std::optional<DataFault> data_fault(std::string_view text);

}  // namespace romanesca
