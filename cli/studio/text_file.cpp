#include "cli/studio/text_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <fstream>

#include "cli/studio/file_reason.h"

namespace romanesca {

std::string read_text(std::istream& in, std::size_t longest) {
  std::string text;
  constexpr std::size_t block = std::size_t{1} << 16U;
  while (in && text.size() <= longest) {
    const std::size_t from = text.size();
    text.resize(from + std::min(block, longest + 1 - from));
    in.read(text.data() + from, static_cast<std::streamsize>(text.size() - from));
    text.resize(from + static_cast<std::size_t>(in.gcount()));
  }
  return text;
}

Result<std::string> read_text_file(const std::filesystem::path& path, std::size_t longest) {
  std::error_code error;
  if (std::filesystem::is_directory(path, error)) {
    return Failure(ExitStatus::file_refused, fmt::format("{} is a folder", path.string()), "give the name of a file");
  }
  errno = 0;
  std::ifstream file(path, std::ios::binary);
  if (!file) {
    const FileReason reason = reason_not_read(errno);
    return Failure(ExitStatus::file_refused, fmt::format("cannot read {}: {}", path.string(), reason.why), reason.hint);
  }
  const std::uintmax_t size = std::filesystem::file_size(path, error);
  std::string text = read_text(file, longest);
  if (!error && size > text.size()) {
    return Failure(ExitStatus::wrong_input,
                   fmt::format("{} is {} bytes long; I read texts of up to {}", path.string(), size, longest),
                   "look whether it is the right file; a song of a thousand bars has less than a hundredth of that");
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
