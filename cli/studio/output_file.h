#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace romanesca {

/// A file that appears whole or not at all: written under a temporary name beside its own, then renamed. If it is never
/// committed, nothing is left behind. A device or a pipe is written to directly.
class OutputFile {
 public:
  /// Checks that the folder is there and that the path is no folder. Throws Failure (file_refused).
  explicit OutputFile(std::filesystem::path path);
  ~OutputFile();
  OutputFile(const OutputFile&) = delete;
  OutputFile& operator=(const OutputFile&) = delete;

  /// Where to write until commit().
  [[nodiscard]] const std::filesystem::path& temporary() const noexcept { return temporary_; }
  [[nodiscard]] const std::filesystem::path& path() const noexcept { return path_; }
  /// Puts the file in its place. Throws Failure (file_refused).
  void commit();

 private:
  std::filesystem::path path_;
  std::filesystem::path temporary_;
  bool committed_ = false;
};

/// Who may read a file: whoever the user's umask lets, or its owner alone.
enum class FileAccess { usual, owner_only };

/// Writes a whole text or byte string. Throws Failure (file_refused), for a full disk too.
void write_file(const std::filesystem::path& path, std::string_view bytes, FileAccess access = FileAccess::usual);

/// Makes a folder, and those above it, where they are not there. Throws Failure (file_refused).
void make_folder(const std::filesystem::path& path);

/// The ending in lower case without its dot: "wav"; empty if there is none.
[[nodiscard]] std::string ending_of(const std::filesystem::path& path);

}  // namespace romanesca
