#include "cli/studio/name_for_file.h"

#include "theory/text/characters.h"

namespace romanesca {
namespace {

constexpr std::size_t longest_name = 100;  // bytes: a name of 255 is the most that file systems take

}  // namespace

std::string name_for_file(std::string_view words) {
  std::string name;
  for (const char c : words) {
    if (is_letter(c) || is_digit(c) || static_cast<unsigned char>(c) >= 0x80U) {
      name += c;
    } else if (!name.empty() && name.back() != '-') {
      name += '-';
    }
  }
  if (name.size() > longest_name) {
    std::size_t end = longest_name;
    while (end > 0 && !begins_code_point(name[end])) --end;
    name.resize(end);
  }
  while (name.ends_with('-')) name.pop_back();
  return name;
}

}  // namespace romanesca
