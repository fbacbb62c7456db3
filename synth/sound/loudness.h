#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// Integrated loudness of a stereo programme after ITU-R BS.1770-4, in constant memory: what decides the gain of a
/// track, before the files half measures the result by a library.
class Loudness {
 public:
  /// @param sample_rate_hz 8000 to 192000.
  explicit Loudness(double sample_rate_hz);

  void add(const StereoBlock& block) noexcept;
  /// In LUFS; minus infinity while nothing was louder than -70.
  [[nodiscard]] double integrated_lufs() const noexcept;

 private:
  /// Left and right, which the compiler calculates at once (a vector type of GCC and clang).
  using Sides = double __attribute__((vector_size(16)));
  /// A second-order filter for both, two frames at a time: the state after them is a sum of the state before and what
  /// came in, so that two frames wait for each other no longer than one.
  struct Stage {
    /// @param b0, b1, b2 of the numerator @param a1, a2 of the denominator
    void set(double b0, double b1, double b2, double a1, double a2) noexcept;
    void step(Sides& in_0, Sides& in_1) noexcept {
      const Sides out_0 = now * in_0 + first;
      const Sides out_1 = (now * in_1 + before * in_0) + (second - back * first);
      const Sides next = (first_in_0 * in_0 + first_in_1 * in_1) + (first_first * first - back * second);
      second = (second_in_0 * in_0 + second_in_1 * in_1) + (second_first * first - back_2 * second);
      first = next;
      in_0 = out_0;
      in_1 = out_1;
    }
    double now, before, back, back_2;
    double first_in_0, first_in_1, first_first;
    double second_in_0, second_in_1, second_first;
    Sides first, second;
  };
  struct Bin {
    std::int64_t blocks = 0;
    double energy = 0;
  };
  /// @param block an even number of frames, none past the end of the step
  void weigh(const StereoBlock& block) noexcept;
  void end_step() noexcept;

  Stage shelf_{}, highpass_{};
  std::int64_t step_frames_;  ///< a tenth of a second, an even number
  bool odd_ = false;          ///< a frame waits for the next
  float odd_left_ = 0, odd_right_ = 0;
  std::int64_t frames_ = 0;             ///< in the present step
  Sides squares_{};                     ///< of the present step
  std::array<double, 4> last_steps_{};  ///< energy of the last steps: four make a block of 400 ms
  std::int64_t steps_ = 0;
  std::vector<Bin> bins_;  ///< blocks by their loudness, -70 LUFS and up
};

}  // namespace romanesca
