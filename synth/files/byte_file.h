#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

namespace romanesca {

/// A file of bytes with a place, which remembers what the disk refused: libraries that write through it do not all ask.
class ByteFile {
 public:
  enum class Open { anew, as_it_is };

  /// Throws SystemError.
  ByteFile(const std::string& path, Open open);
  ~ByteFile();
  ByteFile(const ByteFile&) = delete;
  ByteFile& operator=(const ByteFile&) = delete;

  /// From the place on, which moves. @return how many bytes it were
  std::int64_t read(void* bytes, std::int64_t size);
  std::int64_t write(const void* bytes, std::int64_t size);
  void seek(std::int64_t place) noexcept { place_ = place; }
  [[nodiscard]] std::int64_t place() const noexcept { return place_; }
  [[nodiscard]] std::int64_t length() const;
  void truncate(std::int64_t length);
  /// Moves the bytes from @p from to the end so that they begin at @p to, and ends the file behind them.
  void move_rest(std::int64_t from, std::int64_t to);

  /// Throws SystemError if any call so far was refused.
  void check() const;

 private:
  int file_ = -1;
  std::int64_t place_ = 0;
  int refused_ = 0;  ///< the first errno
};

}  // namespace romanesca
