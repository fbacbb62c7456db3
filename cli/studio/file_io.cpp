#include "cli/studio/file_io.h"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <optional>
#include <utility>

#include "cli/studio/interrupt.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

std::string words_of_system(int error) {
  return error == 0 ? "the system does not say why"
                    : std::strerror(error);  // NOLINT(concurrency-mt-unsafe): one thread
}

Failure not_written(const std::filesystem::path& path, const std::string& why, const std::string& hint) {
  return {ExitStatus::file_refused, fmt::format("cannot write {}: {}", path.string(), why), hint};
}

Failure not_written(const std::filesystem::path& path, int error) {
  const FileReason reason = reason_not_written(error);
  return not_written(path, reason.why, reason.hint);
}

/// Removes what a run that was killed more than a day ago has left of this file. A younger one may be at work, perhaps
/// on another computer.
void remove_leftovers(const std::filesystem::path& folder, const std::string& beginning) {
  std::error_code error;
  const auto yesterday = std::filesystem::file_time_type::clock::now() - std::chrono::hours(24);
  for (auto each = std::filesystem::directory_iterator(folder, error);
       !error && each != std::filesystem::directory_iterator(); each.increment(error)) {
    const std::string name = each->path().filename().string();
    constexpr std::string_view ending = ".part";
    if (!name.starts_with(beginning) || !name.ends_with(ending)) continue;
    if (name.size() <= beginning.size() + ending.size()) continue;
    const std::string number = name.substr(beginning.size(), name.size() - beginning.size() - ending.size());
    if (number.find_first_not_of("0123456789") != std::string::npos) continue;
    std::error_code gone;
    const auto written = std::filesystem::last_write_time(each->path(), gone);
    if (!gone && written < yesterday) std::filesystem::remove(each->path(), gone);
  }
}

}  // namespace

FileReason reason_not_written(int error) {
  switch (error) {
    case ENOSPC:
      return {"the disk is full", "make room on it, or write to another"};
    case EDQUOT:
      return {"your share of the disk is used up", "make room in your folders, or write to another disk"};
    case EFBIG:
      return {"a file may not grow that large there", "write to another disk, or make something shorter"};
    case EACCES:
    case EPERM:
      return {"you may not write there", "choose a folder of yours"};
    case EROFS:
      return {"that disk is read-only", "choose a folder on another"};
    case ENAMETOOLONG:
      return {"the name is too long", "choose a shorter one"};
    case ENOENT:
      return {"the folder is gone or takes no files", "choose another"};
    case EMFILE:
    case ENFILE:
      return {"too many files are open", "close other programs and try again"};
    default:
      return {words_of_system(error), "try again, or choose another folder"};
  }
}

FileReason reason_not_read(int error) {
  switch (error) {
    case ENOENT:
    case ENOTDIR:
      return {"there is no such file", "check its name and folder"};
    case EACCES:
    case EPERM:
      return {"you may not read it", "copy it to a folder of yours, or ask whoever it belongs to"};
    case ENAMETOOLONG:
      return {"no file has a name that long", "check its name and folder"};
    case ELOOP:
      return {"it leads to itself", "give the file that it was meant to lead to"};
    default:
      return {words_of_system(error), "try again, or give another file"};
  }
}

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
                   fmt::format("{} is {} bytes long; texts may have up to {}", path.string(), size, longest),
                   "check whether it is the right file; a song of a thousand bars has less than a hundredth of that");
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

Result<OutputFile> OutputFile::create(std::filesystem::path path) {
  std::error_code error;
  if (std::filesystem::is_directory(path, error)) {
    return not_written(path, "it is a folder", "give the name of a file in it");
  }
  // A device or pipe takes the bytes itself; a link stands for the file that it leads to.
  if (std::filesystem::exists(path, error) && !std::filesystem::is_regular_file(path, error)) {
    return OutputFile(path, path);
  }
  if (std::filesystem::is_symlink(path, error)) path = std::filesystem::canonical(path, error);
  const std::filesystem::path folder = path.has_parent_path() ? path.parent_path() : ".";
  if (!std::filesystem::is_directory(folder, error)) {
    return not_written(path, fmt::format("there is no folder {}", folder.string()),
                       "make the folder first, or choose another");
  }
  if (access(folder.c_str(), W_OK) != 0) return not_written(path, errno);
  const std::string beginning = fmt::format(".{}.", path.filename().string());
  remove_leftovers(folder, beginning);
  return OutputFile(path, folder / fmt::format("{}{}.part", beginning, getpid()));
}

OutputFile::OutputFile(OutputFile&& other) noexcept
    : path_(std::move(other.path_)),
      temporary_(std::move(other.temporary_)),
      committed_(std::exchange(other.committed_, true)) {}

OutputFile::~OutputFile() {
  if (committed_ || temporary_ == path_) return;
  std::error_code error;
  std::filesystem::remove(temporary_, error);
}

Status OutputFile::commit() {
  if (temporary_ == path_) return ok;
  if (InterruptGuard::requested()) {
    return Failure(ExitStatus::interrupted, fmt::format("stopped; {} was not written", path_.string()));
  }
  // A full disk may only show when the bytes are on it.
  std::FILE* file = std::fopen(temporary_.c_str(), "rb");
  if (file != nullptr) {
    const bool flushed = fsync(fileno(file)) == 0;
    const int error = errno;
    std::fclose(file);
    if (!flushed && error != EINVAL) return not_written(path_, error);
  }
  if (std::rename(temporary_.c_str(), path_.c_str()) != 0) return not_written(path_, errno);
  committed_ = true;
  return ok;
}

Status write_file(const std::filesystem::path& path, std::string_view bytes, FileAccess access) {
  auto output = OutputFile::create(path);
  if (!output) return output.error();
  // A pipe may make one wait for ever; a file does not, and must not be left half written.
  std::optional<InterruptGuard> guard;
  if (output->temporary() != path) guard.emplace();
  errno = 0;
  std::FILE* file = std::fopen(output->temporary().c_str(), "wb");
  if (file == nullptr) return not_written(path, errno);
  // Before the bytes are in it. A pipe or device keeps its rights.
  if (access == FileAccess::owner_only && output->temporary() != path) fchmod(fileno(file), S_IRUSR | S_IWUSR);
  const bool written = std::fwrite(bytes.data(), 1, bytes.size(), file) == bytes.size() && std::fflush(file) == 0;
  const int error = errno;
  const bool closed = std::fclose(file) == 0;
  if (!written || !closed) return not_written(path, written ? errno : error);
  return output->commit();
}

Status make_folder(const std::filesystem::path& path) {
  std::error_code error;
  std::filesystem::create_directories(path, error);
  if (!error) return ok;
  std::error_code ignored;
  if (std::filesystem::is_regular_file(path, ignored)) {
    return Failure(ExitStatus::file_refused,
                   fmt::format("cannot make the folder {}: a file has that name", path.string()),
                   "choose another name");
  }
  return Failure(ExitStatus::file_refused, fmt::format("cannot make the folder {}", path.string()),
                 reason_not_written(error.value()).hint);
}

std::string ending_of(const std::filesystem::path& path) {
  std::string ending = path.extension().string();
  if (!ending.empty()) ending.erase(0, 1);
  return small_letters(ending);
}

}  // namespace romanesca
