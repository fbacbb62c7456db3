#include "cli/studio/output_file.h"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <optional>

#include "cli/failure.h"
#include "cli/studio/file_reason.h"
#include "cli/studio/interrupt.h"
#include "theory/text/ascii_text.h"

namespace romanesca {
namespace {

[[noreturn]] void refuse(const std::filesystem::path& path, const std::string& why, const std::string& hint) {
  throw Failure(ExitStatus::file_refused, fmt::format("cannot write {}: {}", path.string(), why), hint);
}

[[noreturn]] void refuse(const std::filesystem::path& path, int error) {
  const FileReason reason = reason_not_written(error);
  refuse(path, reason.why, reason.way_out);
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

OutputFile::OutputFile(std::filesystem::path path) : path_(std::move(path)) {
  std::error_code error;
  if (std::filesystem::is_directory(path_, error)) refuse(path_, "it is a folder", "give the name of a file in it");
  // A device or pipe takes the bytes itself; a link stands for the file that it leads to.
  if (std::filesystem::exists(path_, error) && !std::filesystem::is_regular_file(path_, error)) {
    temporary_ = path_;
    return;
  }
  if (std::filesystem::is_symlink(path_, error)) path_ = std::filesystem::canonical(path_, error);
  const std::filesystem::path folder = path_.has_parent_path() ? path_.parent_path() : ".";
  if (!std::filesystem::is_directory(folder, error)) {
    refuse(path_, fmt::format("there is no folder {}", folder.string()), "make the folder first, or choose another");
  }
  if (access(folder.c_str(), W_OK) != 0) refuse(path_, errno);
  const std::string beginning = fmt::format(".{}.", path_.filename().string());
  remove_leftovers(folder, beginning);
  temporary_ = folder / fmt::format("{}{}.part", beginning, getpid());
}

OutputFile::~OutputFile() {
  if (committed_ || temporary_ == path_) return;
  std::error_code error;
  std::filesystem::remove(temporary_, error);
}

void OutputFile::commit() {
  if (temporary_ == path_) return;
  if (InterruptGuard::requested()) {
    throw Failure(ExitStatus::interrupted, fmt::format("stopped; {} was not written", path_.string()));
  }
  // A full disk may only show when the bytes are on it.
  std::FILE* file = std::fopen(temporary_.c_str(), "rb");
  if (file != nullptr) {
    const bool flushed = fsync(fileno(file)) == 0;
    const int error = errno;
    std::fclose(file);
    if (!flushed && error != EINVAL) refuse(path_, error);
  }
  if (std::rename(temporary_.c_str(), path_.c_str()) != 0) refuse(path_, errno);
  committed_ = true;
}

void write_file(const std::filesystem::path& path, std::string_view bytes, FileAccess access) {
  OutputFile output(path);
  // A pipe may make one wait for ever; a file does not, and must not be left half written.
  std::optional<InterruptGuard> guard;
  if (output.temporary() != path) guard.emplace();
  errno = 0;
  std::FILE* file = std::fopen(output.temporary().c_str(), "wb");
  if (file == nullptr) refuse(path, errno);
  // Before the bytes are in it. A pipe or device keeps its rights.
  if (access == FileAccess::owner_only && output.temporary() != path) fchmod(fileno(file), S_IRUSR | S_IWUSR);
  const bool written = std::fwrite(bytes.data(), 1, bytes.size(), file) == bytes.size() && std::fflush(file) == 0;
  const int error = errno;
  const bool closed = std::fclose(file) == 0;
  if (!written || !closed) refuse(path, written ? errno : error);
  output.commit();
}

void make_folder(const std::filesystem::path& path) {
  std::error_code error;
  std::filesystem::create_directories(path, error);
  if (!error) return;
  std::error_code ignored;
  if (std::filesystem::is_regular_file(path, ignored)) {
    throw Failure(ExitStatus::file_refused,
                  fmt::format("cannot make the folder {}: a file has that name", path.string()), "choose another name");
  }
  throw Failure(ExitStatus::file_refused, fmt::format("cannot make the folder {}", path.string()),
                reason_not_written(error.value()).way_out);
}

std::string ending_of(const std::filesystem::path& path) {
  std::string ending = path.extension().string();
  if (!ending.empty()) ending.erase(0, 1);
  return small_letters(ending);
}

}  // namespace romanesca
