#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

namespace romanesca {

/// A file with a read and write position that remembers the first error, since not every library that writes through it
/// reports errors.
class ByteFile {
 public:
  enum class Open { create, existing };

  /// Throws SystemError.
  ByteFile(const std::string& path, Open open);
  ~ByteFile();
  ByteFile(const ByteFile&) = delete;
  ByteFile& operator=(const ByteFile&) = delete;

  /// At the position, which advances. @return number of bytes read or written
  std::int64_t read(void* bytes, std::int64_t size);
  std::int64_t write(const void* bytes, std::int64_t size);
  void seek(std::int64_t position) noexcept { position_ = position; }
  [[nodiscard]] std::int64_t position() const noexcept { return position_; }
  [[nodiscard]] std::int64_t length() const;
  void truncate(std::int64_t length);
  /// Moves the bytes from @p from to the end of the file to @p to, and truncates the file after them.
  void move_tail(std::int64_t from, std::int64_t to);

  /// Throws SystemError if any call so far has failed.
  void check() const;

 private:
  int file_ = -1;
  std::int64_t position_ = 0;
  int error_ = 0;  ///< the first errno
};

}  // namespace romanesca
