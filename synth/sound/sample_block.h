#pragma once

#include <cstddef>

namespace romanesca {

/// Planar stereo samples that belong to the caller: two runs of @c frames floats, full scale 1.
struct StereoBlock {
  float* left = nullptr;
  float* right = nullptr;
  std::size_t frames = 0;

  /// The same from a frame on. @param from 0 to frames.
  [[nodiscard]] StereoBlock from(std::size_t first) const noexcept {
    return {left + first, right + first, frames - first};
  }
};

/// The synth works on a grid of blocks this long, counted from the first frame of the piece. What it does between two
/// points of the grid does not depend on how long the caller's blocks are, so block length is not audible.
inline constexpr std::size_t block_frames = 64;

}  // namespace romanesca
