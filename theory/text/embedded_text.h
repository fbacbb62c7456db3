#pragma once

#include <span>
#include <string_view>

namespace romanesca {

/// A data file of the source tree, compiled into the program so that it runs from any folder.
struct EmbeddedText {
  std::string_view name;  ///< the file's name without its ending
  std::string_view text;  ///< the whole file
};

}  // namespace romanesca
