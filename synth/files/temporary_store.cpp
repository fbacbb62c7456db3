#include "synth/files/temporary_store.h"

#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <new>
#include <utility>

#include "theory/text/errors.h"

namespace romanesca {
namespace {

constexpr std::int64_t frame_bytes = 2 * sizeof(float);

[[noreturn]] void fail(const char* what) { throw SystemError(what, errno); }

int unnamed_file(const std::string& folder) {
  const std::string directory = folder.empty() ? "." : folder;
#ifdef O_TMPFILE
  const int unnamed = open(directory.c_str(), O_TMPFILE | O_RDWR | O_CLOEXEC, 0600);
  if (unnamed >= 0) return unnamed;
#endif
  std::string name = directory + "/.romanesca-XXXXXX";
  const int file = mkstemp(name.data());
  if (file < 0) fail("a temporary file cannot be created");
  unlink(name.c_str());
  return file;
}

}  // namespace

TemporaryStore::TemporaryStore(std::string folder, std::int64_t frames_in_memory)
    : folder_(std::move(folder)), frames_in_memory_(std::max<std::int64_t>(frames_in_memory, 0)) {}

TemporaryStore::~TemporaryStore() {
  if (file_ >= 0) close(file_);
  std::free(memory_);  // NOLINT(cppcoreguidelines-no-malloc): aligned, and pages that are not used are never touched
}

/// Address space only: pages come as they are written, large ones where the system has them.
void TemporaryStore::allocate_memory() {
  constexpr std::size_t page = std::size_t{1} << 21;
  const std::size_t bytes = (static_cast<std::size_t>(frames_in_memory_ * frame_bytes) + page - 1) / page * page;
  memory_ = static_cast<float*>(std::aligned_alloc(page, bytes));
  if (memory_ == nullptr) throw std::bad_alloc();
#ifdef MADV_HUGEPAGE
  madvise(memory_, bytes, MADV_HUGEPAGE);
#endif
}

void TemporaryStore::append(const StereoBlock& block) {
  const std::int64_t room = std::max<std::int64_t>(frames_in_memory_ - frames_, 0);
  const auto kept = static_cast<std::size_t>(std::min(room, static_cast<std::int64_t>(block.frames)));
  if (kept > 0) {
    if (memory_ == nullptr) allocate_memory();
    std::copy_n(block.left, kept, memory_ + frames_);
    std::copy_n(block.right, kept, memory_ + frames_in_memory_ + frames_);
    frames_ += static_cast<std::int64_t>(kept);
  }
  if (kept < block.frames) append_to_file(block.from(kept));
}

void TemporaryStore::append_to_file(const StereoBlock& block) {
  if (file_ < 0) file_ = unnamed_file(folder_);
  interleaved_.resize(2 * block.frames);
  for (std::size_t i = 0; i < block.frames; ++i) {
    interleaved_[2 * i] = block.left[i];
    interleaved_[2 * i + 1] = block.right[i];
  }
  const char* bytes = reinterpret_cast<const char*>(interleaved_.data());
  std::size_t size = interleaved_.size() * sizeof(float);
  std::int64_t position = (frames_ - frames_in_memory_) * frame_bytes;
  while (size > 0) {
    const ssize_t written = pwrite(file_, bytes, size, position);
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) fail("the temporary file cannot be written");
    bytes += written;
    size -= static_cast<std::size_t>(written);
    position += written;
  }
  frames_ += static_cast<std::int64_t>(block.frames);
}

void TemporaryStore::read(std::int64_t first, StereoBlock block) {
  const std::int64_t left_in_memory = std::max<std::int64_t>(std::min(frames_, frames_in_memory_) - first, 0);
  const auto in_memory = static_cast<std::size_t>(std::min(left_in_memory, static_cast<std::int64_t>(block.frames)));
  if (in_memory > 0) {
    std::copy_n(memory_ + first, in_memory, block.left);
    std::copy_n(memory_ + frames_in_memory_ + first, in_memory, block.right);
  }
  if (in_memory < block.frames) read_from_file(first + static_cast<std::int64_t>(in_memory), block.from(in_memory));
}

void TemporaryStore::read_from_file(std::int64_t first, StereoBlock block) {
  interleaved_.resize(2 * block.frames);
  char* bytes = reinterpret_cast<char*>(interleaved_.data());
  std::size_t size = interleaved_.size() * sizeof(float);
  std::int64_t position = (first - frames_in_memory_) * frame_bytes;
  while (size > 0) {
    const ssize_t got = pread(file_, bytes, size, position);
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) fail("the temporary file cannot be read");
    bytes += got;
    size -= static_cast<std::size_t>(got);
    position += got;
  }
  for (std::size_t i = 0; i < block.frames; ++i) {
    block.left[i] = interleaved_[2 * i];
    block.right[i] = interleaved_[2 * i + 1];
  }
}

void TemporaryStore::clear() { frames_ = 0; }

}  // namespace romanesca
