#include "cli/text_file.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <fstream>

#include "cli/failure.h"
#include "theory/progression_text.h"

namespace romanesca {

std::string read_text(std::istream& in) {
  std::string text(longest_text + 1, '\0');
  in.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(in.gcount()));
  return text;
}

std::string read_text_file(const std::filesystem::path& path) {
  std::error_code error;
  if (std::filesystem::is_directory(path, error)) {
    throw Failure(ExitStatus::file_refused, fmt::format("{} is a folder", path.string()), "give the name of a file");
  }
  errno = 0;
  std::ifstream file(path, std::ios::binary);
  if (!file) {
    throw Failure(ExitStatus::file_refused, fmt::format("cannot read {}: {}", path.string(),
                                                        std::strerror(errno)));  // NOLINT(concurrency-mt-unsafe)
  }
  const std::uintmax_t size = std::filesystem::file_size(path, error);
  std::string text = read_text(file);
  if (!error && size > text.size()) {
    throw Failure(ExitStatus::wrong_input,
                  fmt::format("{} is {} bytes long; I read texts of up to {}", path.string(), size, longest_text));
  }
  return text;
}

std::string line_of(const std::string& text, int number) {
  std::size_t from = 0;
  for (int line = 1; line < number && from != std::string::npos; ++line) {
    from = text.find('\n', from);
    if (from != std::string::npos) ++from;
  }
  return from == std::string::npos ? "" : text.substr(from, text.find('\n', from) - from);
}

}  // namespace romanesca
