#include "cli/studio/user_levels.h"

#include "cli/failure.h"
#include "cli/options.h"
#include "cli/studio/text_file.h"

namespace romanesca {
std::vector<Level> user_levels(const Console& console) {
  const std::filesystem::path path = console.configuration / "levels.toml";
  std::error_code ignored;
  if (console.configuration.empty() || !std::filesystem::exists(path, ignored)) {
    return {levels().begin(), levels().end()};
  }
  const std::string text = read_text_file(path);
  auto read = read_levels({"levels", text});
  if (!read) {
    read.error().source = path.string();
    read.error().line_text = line_of(text, read.error().place.line);
    if (read.error().hint.empty()) read.error().hint = "mend it, or rename the file";
  }
  return value_or_throw(std::move(read));
}

Level user_level(const std::string& option, int number, const Console& console) {
  check_level(option, number);
  return user_levels(console)[static_cast<std::size_t>(number) - 1];
}

}  // namespace romanesca
