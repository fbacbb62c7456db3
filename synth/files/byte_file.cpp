#include "synth/files/byte_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <vector>

#include "theory/text/errors.h"

namespace romanesca {

ByteFile::ByteFile(const std::string& path, Open open) {
  const int how = O_RDWR | O_CLOEXEC | (open == Open::create ? O_CREAT | O_TRUNC : 0);
  file_ = ::open(path.c_str(), how, 0666);  // less the umask
  if (file_ < 0) throw SystemError("the file cannot be opened", errno);
}

ByteFile::~ByteFile() { close(file_); }

std::int64_t ByteFile::read(void* bytes, std::int64_t size) {
  auto* to = static_cast<char*>(bytes);
  std::int64_t done = 0;
  while (done < size) {
    const ssize_t got = pread(file_, to + done, static_cast<std::size_t>(size - done), position_);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0 && error_ == 0) error_ = errno;
    if (got <= 0) break;
    done += got;
    position_ += got;
  }
  return done;
}

std::int64_t ByteFile::write(const void* bytes, std::int64_t size) {
  const auto* from = static_cast<const char*>(bytes);
  std::int64_t done = 0;
  while (done < size) {
    const ssize_t put = pwrite(file_, from + done, static_cast<std::size_t>(size - done), position_);
    if (put < 0 && errno == EINTR) continue;
    if (put <= 0) {
      if (error_ == 0) error_ = put < 0 ? errno : ENOSPC;
      break;
    }
    done += put;
    position_ += put;
  }
  return done;
}

std::int64_t ByteFile::length() const {
  const off_t end = lseek(file_, 0, SEEK_END);  // pread and pwrite do not use this position
  return std::max<std::int64_t>(end, 0);
}

void ByteFile::truncate(std::int64_t length) {
  if (ftruncate(file_, length) != 0 && error_ == 0) error_ = errno;
}

void ByteFile::move_tail(std::int64_t from, std::int64_t to) {
  constexpr std::int64_t block = 1 << 16;
  std::vector<char> bytes(static_cast<std::size_t>(block));
  const std::int64_t size = std::max<std::int64_t>(length() - from, 0);
  // In the direction in which nothing is overwritten before it is read.
  for (std::int64_t done = 0; done < size;) {
    const std::int64_t part = std::min(block, size - done);
    const std::int64_t at = to > from ? size - done - part : done;
    seek(from + at);
    if (read(bytes.data(), part) != part) return;
    seek(to + at);
    if (write(bytes.data(), part) != part) return;
    done += part;
  }
  truncate(to + size);
}

void ByteFile::check() const {
  if (error_ != 0) throw SystemError("the disk is full or cannot be written", error_);
}

}  // namespace romanesca
