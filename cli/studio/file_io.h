#pragma once

#include <filesystem>
#include <iosfwd>
#include <string>
#include <string_view>
#include <utility>

#include "theory/songs/progression_text.h"
#include "theory/text/errors.h"

namespace romanesca {

/// Why a file or folder cannot be used, and what the user can do.
struct FileReason {
  std::string why;
  std::string hint;
};

/// In words for the user. @param error a number of errno; an unknown number gets the system's text
[[nodiscard]] FileReason reason_not_written(int error);
[[nodiscard]] FileReason reason_not_read(int error);

/// Reads a stream, at most one byte more than the limit, so that the caller can detect a text that is too long.
/// @param longest bytes
[[nodiscard]] std::string read_text(std::istream& in, std::size_t longest = longest_text);

/// Reads a file. @return file_refused for a folder or a file that cannot be read, wrong_input for one that is
/// longer than a text may be
[[nodiscard]] Result<std::string> read_text_file(const std::filesystem::path& path, std::size_t longest = longest_text);

/// One line of a text without its line break; empty past its end. @param number from 1.
[[nodiscard]] std::string line_of(const std::string& text, int number);

/// A file that appears whole or not at all: written under a temporary name beside its own, then renamed. If it is never
/// committed, nothing is left behind. A device or a pipe is written to directly.
class OutputFile {
 public:
  /// Checks that the folder is there and that the path is not a folder; file_refused otherwise.
  [[nodiscard]] static Result<OutputFile> create(std::filesystem::path path);
  ~OutputFile();
  OutputFile(OutputFile&& other) noexcept;
  OutputFile& operator=(OutputFile&&) = delete;
  OutputFile(const OutputFile&) = delete;
  OutputFile& operator=(const OutputFile&) = delete;

  /// Where to write until commit().
  [[nodiscard]] const std::filesystem::path& temporary() const noexcept { return temporary_; }
  [[nodiscard]] const std::filesystem::path& path() const noexcept { return path_; }
  /// Puts the file in its place; file_refused, or interrupted after Ctrl-C, otherwise.
  [[nodiscard]] Status commit();

 private:
  OutputFile(std::filesystem::path path, std::filesystem::path temporary)
      : path_(std::move(path)), temporary_(std::move(temporary)) {}

  std::filesystem::path path_;
  std::filesystem::path temporary_;
  bool committed_ = false;
};

/// Who may read a file: whoever the user's umask lets, or its owner alone.
enum class FileAccess { usual, owner_only };

/// Writes a whole text or byte string. File_refused where it cannot be, for a full disk too.
[[nodiscard]] Status write_file(const std::filesystem::path& path, std::string_view bytes,
                                FileAccess access = FileAccess::usual);

/// Makes a folder, and those above it, where they are not there. File_refused otherwise.
[[nodiscard]] Status make_folder(const std::filesystem::path& path);

/// The ending in lower case without its dot: "wav"; empty if there is none.
[[nodiscard]] std::string ending_of(const std::filesystem::path& path);

}  // namespace romanesca
