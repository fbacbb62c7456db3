#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// Integrated loudness of a stereo programme after ITU-R BS.1770-4, in constant memory. It decides the gain of a
/// track.
class Loudness {
 public:
  /// @param sample_rate_hz 8000 to 192000.
  explicit Loudness(double sample_rate_hz);

  void add(const StereoBlock& block) noexcept;
  /// In LUFS; minus infinity while nothing was louder than -70.
  [[nodiscard]] double integrated_lufs() const noexcept;

 private:
  /// Left and right, which the compiler calculates together (a vector type of GCC and clang).
  using Sides = double __attribute__((vector_size(16)));
  /// A second-order filter for both.
  struct Stage {
    double b0, b1, b2, a1, a2;
    Sides first, second;
  };
  struct Bin {
    std::int64_t blocks = 0;
    double energy = 0;
  };
  void weigh(const StereoBlock& block) noexcept;
  void end_step() noexcept;

  Stage shelf_{}, highpass_{};
  std::int64_t step_frames_;            ///< a tenth of a second
  std::int64_t frames_ = 0;             ///< in the present step
  Sides squares_{};                     ///< of the present step
  std::array<double, 4> last_steps_{};  ///< energy of the last steps: four make a block of 400 ms
  std::int64_t steps_ = 0;
  std::vector<Bin> bins_;  ///< blocks by their loudness, -70 LUFS and up
};

}  // namespace romanesca
