#pragma once

#include <cstddef>

namespace romanesca {

// Elementary functions whose results are the same on every system: the standard library's differ in the last bit, and
// the same piece must give the same bytes everywhere. Only additions, multiplications, divisions and exact operations
// are used.

/// 2^x, relative error below 1e-15. @param x clamped to -1000 to 1000.
[[nodiscard]] double exp2_of(double x) noexcept;

/// The logarithm to base 2, absolute error below 1e-14. @param x more than 0; anything else gives -1000.
[[nodiscard]] double log2_of(double x) noexcept;

/// x^y by the two above. @param x 0 or more.
[[nodiscard]] double power(double x, double y) noexcept;

/// e^x.
[[nodiscard]] double exp_of(double x) noexcept;

/// A point on the unit circle.
struct Rotation {
  double cosine = 1, sine = 0;
};
/// The point at an angle in turns, absolute error below 1e-15 for up to a thousand turns.
[[nodiscard]] Rotation rotation_of(double turns) noexcept;

[[nodiscard]] double linear_from_db(double db) noexcept;
/// @param linear 0 or less gives -200.
[[nodiscard]] double db_from_linear(double linear) noexcept;

/// Factor per frame of a fall by 60 dB in the time given: 10^(-3 / frames). @param decay_s 0 or less gives 1.
[[nodiscard]] double decay_per_frame(double decay_s, double sample_rate_hz) noexcept;

/// Factor per frame of an exponential approach with that time constant: e^(-1 / frames).
[[nodiscard]] double time_constant_decay(double seconds, double sample_rate_hz) noexcept;

/// sin(2 pi turns), for 0 <= turns, in single precision: error below 7e-6 (-103 dB). An odd polynomial with its zeros
/// fixed at the half turns, coefficients found by iteratively reweighted least squares on 4001 points. No branch and no
/// call, so loops over it become vector code.
[[nodiscard]] inline float sine_of_turns(float turns) noexcept {
  const float x = turns - static_cast<float>(static_cast<int>(turns)) - 0.5f;  // -0.5 to 0.5; the sign turns round
  const float square = x * x;
  const float series = 25.1321691f + square * (-64.7927387f + square * (66.2388782f + square * -32.6091759f));
  return x * (square - 0.25f) * series;
}

}  // namespace romanesca
