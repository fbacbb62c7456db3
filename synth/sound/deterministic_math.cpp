#include "synth/sound/deterministic_math.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace romanesca {
namespace {

constexpr double ln_2 = 0.69314718055994530942;
constexpr double two_pi = 6.28318530717958647693;

/// 1 / (n (n - 1)), the ratio of neighbouring terms of sine and cosine, and 1 / n.
struct Reciprocals {
  std::array<double, 24> single{}, pair{};
  constexpr Reciprocals() {
    for (int n = 1; n < 24; ++n) {
      single[static_cast<std::size_t>(n)] = 1.0 / n;
      if (n > 1) pair[static_cast<std::size_t>(n)] = 1.0 / (n * (n - 1));
    }
  }
};
constexpr Reciprocals reciprocal;

}  // namespace

double exp2_of(double x) noexcept {
  x = std::clamp(x, -1000.0, 1000.0);
  const double whole = std::floor(x + 0.5);
  const double y = (x - whole) * ln_2;  // |y| < 0.347: fourteen terms of the series leave 1e-18
  double series = 1;
  for (std::size_t n = 14; n >= 1; --n) series = 1 + y * reciprocal.single[n] * series;
  return std::ldexp(series, static_cast<int>(whole));
}

double log2_of(double x) noexcept {
  if (!(x > 0)) return -1000;
  int exponent = 0;
  double mantissa = std::frexp(x, &exponent);
  if (mantissa < 0.70710678118654752440) {
    mantissa *= 2;
    --exponent;
  }
  // ln m = 2 artanh((m - 1) / (m + 1)); the argument is below 0.172.
  const double z = (mantissa - 1) / (mantissa + 1);
  const double square = z * z;
  double series = 0;
  for (std::size_t n = 23; n < 24; n -= 2) series = reciprocal.single[n] + square * series;
  return exponent + 2 * z * series / ln_2;
}

double power(double x, double y) noexcept { return x > 0 ? exp2_of(y * log2_of(x)) : 0; }

double exp_of(double x) noexcept { return exp2_of(x / ln_2); }

Rotation rotation_of(double turns) noexcept {
  const double quarters = std::floor(4 * turns + 0.5);
  const double angle = (turns - quarters / 4) * two_pi;  // at most an eighth of a turn either way
  const double square = angle * angle;
  double sine = 1;
  double cosine = 1;
  for (std::size_t n = 17; n >= 3; n -= 2) sine = 1 - square * reciprocal.pair[n] * sine;
  for (std::size_t n = 18; n >= 2; n -= 2) cosine = 1 - square * reciprocal.pair[n] * cosine;
  sine *= angle;
  switch (static_cast<long long>(quarters) & 3) {
    case 0:
      return {cosine, sine};
    case 1:
      return {-sine, cosine};
    case 2:
      return {-cosine, -sine};
    default:
      return {sine, -cosine};
  }
}

double linear_from_db(double db) noexcept { return exp2_of(db * (3.32192809488736234787 / 20)); }

double db_from_linear(double linear) noexcept {
  return linear > 0 ? log2_of(linear) * (20 / 3.32192809488736234787) : -200;
}

double decay_per_frame(double decay_s, double sample_rate_hz) noexcept {
  return decay_s > 0 ? exp2_of(-3 * 3.32192809488736234787 / (decay_s * sample_rate_hz)) : 1;
}

double time_constant_decay(double seconds, double sample_rate_hz) noexcept {
  return seconds > 0 ? exp_of(-1 / (seconds * sample_rate_hz)) : 0;
}

}  // namespace romanesca
