#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// A ring buffer written block by block and read as plain arrays, so that the loops over them need no wrap-around.
class BlockRing {
 public:
  /// @param longest_delay that will be read, in frames.
  explicit BlockRing(std::size_t longest_delay) {
    std::size_t size = 4 * block_frames;
    while (size < longest_delay + 2 * block_frames) size *= 2;
    samples_.assign(size, 0.0f);
  }

  /// Where the next block is to be written; written() then makes it the last.
  [[nodiscard]] float* next() noexcept { return samples_.data() + end_; }
  void written() noexcept { end_ = (end_ + block_frames) & (samples_.size() - 1); }

  /// @p count frames, the first of which lies @p back frames before the end of what was written.
  /// @param back count or more, up to the longest delay plus a block. @param room for count frames, used where they
  /// wrap around the end of the ring
  [[nodiscard]] const float* read(std::size_t back, std::size_t count, float* room) const noexcept {
    const std::size_t first = (end_ - back) & (samples_.size() - 1);
    const std::size_t run = samples_.size() - first;
    if (run >= count) return samples_.data() + first;
    std::copy_n(samples_.begin() + static_cast<std::ptrdiff_t>(first), run, room);
    std::copy_n(samples_.begin(), count - run, room + run);
    return room;
  }

  void clear() noexcept { std::fill(samples_.begin(), samples_.end(), 0.0f); }

 private:
  std::vector<float> samples_;  ///< a power of two
  std::size_t end_ = 0;
};

}  // namespace romanesca
