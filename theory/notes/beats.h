#pragma once

#include <compare>
#include <cstdint>
#include <numeric>

namespace romanesca {

/// Exact musical time as a fraction of quarter notes. It stays exact from the text to the arranger and becomes samples
/// once, counted from the start of the piece, so that nothing drifts.
///
/// Always in lowest terms with a positive denominator, so equality is equality of the members. Numerators and
/// denominators are 64 bits wide; bars of up to 24 chords in songs of a million bars stay far inside that.
class Beats {
 public:
  constexpr Beats() noexcept = default;
  /// Whole quarter notes: Beats(3) is three of them.
  constexpr explicit Beats(std::int64_t quarters) noexcept : numerator_(quarters) {}
  /// A fraction of a quarter note: Beats(1, 2) is an eighth. @param denominator must not be 0.
  constexpr Beats(std::int64_t numerator, std::int64_t denominator) noexcept
      : numerator_(numerator), denominator_(denominator) {
    const std::int64_t divisor = std::gcd(numerator, denominator) * (denominator < 0 ? -1 : 1);
    numerator_ /= divisor;  // NOLINT(clang-analyzer-core.DivideZero): 0 only for the denominator 0 ruled out above
    denominator_ /= divisor;
  }

  [[nodiscard]] constexpr std::int64_t numerator() const noexcept { return numerator_; }
  [[nodiscard]] constexpr std::int64_t denominator() const noexcept { return denominator_; }
  /// The nearest double, in quarter notes: for display and for the one conversion to seconds.
  [[nodiscard]] constexpr double quarters() const noexcept {
    return static_cast<double>(numerator_) / static_cast<double>(denominator_);
  }

  constexpr Beats& operator+=(Beats other) noexcept { return *this = *this + other; }
  constexpr Beats& operator-=(Beats other) noexcept { return *this = *this - other; }

  friend constexpr Beats operator+(Beats a, Beats b) noexcept {
    return {a.numerator_ * b.denominator_ + b.numerator_ * a.denominator_, a.denominator_ * b.denominator_};
  }
  friend constexpr Beats operator-(Beats a, Beats b) noexcept {
    return {a.numerator_ * b.denominator_ - b.numerator_ * a.denominator_, a.denominator_ * b.denominator_};
  }
  friend constexpr Beats operator*(Beats a, std::int64_t factor) noexcept {
    return {a.numerator_ * factor, a.denominator_};
  }
  friend constexpr Beats operator*(std::int64_t factor, Beats a) noexcept { return a * factor; }
  /// @param divisor must not be 0.
  friend constexpr Beats operator/(Beats a, std::int64_t divisor) noexcept {
    return {a.numerator_, a.denominator_ * divisor};
  }
  /// How many times @p b fits into @p a, rounded down. @p b must be positive.
  friend constexpr std::int64_t whole_times(Beats a, Beats b) noexcept {
    const std::int64_t over = a.numerator_ * b.denominator_;
    const std::int64_t under = b.numerator_ * a.denominator_;
    // NOLINTNEXTLINE(clang-analyzer-core.DivideZero): b is positive, as said above
    return over >= 0 ? over / under : -((-over + under - 1) / under);
  }

  friend constexpr bool operator==(Beats, Beats) noexcept = default;
  friend constexpr std::strong_ordering operator<=>(Beats a, Beats b) noexcept {
    return a.numerator_ * b.denominator_ <=> b.numerator_ * a.denominator_;
  }

 private:
  std::int64_t numerator_ = 0;
  std::int64_t denominator_ = 1;
};

}  // namespace romanesca
