#pragma once

#include <string>
#include <string_view>

namespace romanesca {

/// What a title or a name becomes as part of a file's name: ASCII letters and digits and all other scripts stay,
/// whatever else there is becomes one hyphen, none at the end; at most 100 bytes, whole characters of UTF-8. May be
/// empty.
[[nodiscard]] std::string name_for_file(std::string_view words);

}  // namespace romanesca
