#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// The recent past of a signal, written slice by slice. Runs of it are read back as plain arrays, so the loops over
/// them have no wrap in them.
class SliceRing {
 public:
  /// @param longest_delay in frames, that will be read.
  explicit SliceRing(std::size_t longest_delay) {
    std::size_t size = 4 * slice_frames;
    while (size < longest_delay + 2 * slice_frames) size *= 2;
    samples_.assign(size, 0.0f);
  }

  void write(const float* slice) noexcept {
    std::copy_n(slice, slice_frames, samples_.begin() + static_cast<std::ptrdiff_t>(end_));
    end_ = (end_ + slice_frames) & (samples_.size() - 1);
  }

  /// Copies @p count frames, the first of which lies @p back frames before the end of what was written.
  /// @param back count or more, up to the longest delay plus a slice.
  void read(std::size_t back, std::size_t count, float* out) const noexcept {
    const std::size_t first = (end_ - back) & (samples_.size() - 1);
    const std::size_t run = std::min(count, samples_.size() - first);
    std::copy_n(samples_.begin() + static_cast<std::ptrdiff_t>(first), run, out);
    std::copy_n(samples_.begin(), count - run, out + run);
  }

  void clear() noexcept { std::fill(samples_.begin(), samples_.end(), 0.0f); }
  [[nodiscard]] std::size_t size() const noexcept { return samples_.size(); }

 private:
  std::vector<float> samples_;  ///< a power of two
  std::size_t end_ = 0;
};

}  // namespace romanesca
