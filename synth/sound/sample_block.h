#pragma once

#include <cstddef>

/// Compiles a hot loop three times: for any x86-64 processor, for AVX2 and for AVX-512; the program chooses when it
/// starts. None uses fused multiply-add, so all give the same bits. Elsewhere (clang, other processors, the sanitizers,
/// which do not support the choice at load time) it does nothing. Such a loop is written plainly: GCC takes a vector
/// type apart for the weakest processor before it makes the versions.
#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define ROMANESCA_VECTOR_CLONES __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define ROMANESCA_VECTOR_CLONES
#endif

namespace romanesca {

/// Planar stereo samples that belong to the caller: two arrays of @c frames floats, full scale 1.
struct StereoBlock {
  float* left = nullptr;
  float* right = nullptr;
  std::size_t frames = 0;

  /// The rest of it, from a frame on. @param first 0 to frames.
  [[nodiscard]] StereoBlock from(std::size_t first) const noexcept {
    return {left + first, right + first, frames - first};
  }
};

/// The synth works on a grid of blocks this long, counted from the first frame of the piece. What it does between two
/// points of the grid does not depend on how long the caller's blocks are, so block length is not audible.
inline constexpr std::size_t block_frames = 64;

/// The largest absolute value among samples; 0 for none.
[[nodiscard]] float absolute_peak(const float* samples, std::size_t count) noexcept;

}  // namespace romanesca
