#pragma once

#include <array>
#include <compare>
#include <cstdint>
#include <numeric>
#include <optional>
#include <string>
#include <string_view>

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
    if (denominator == 1) return;  // most of the time
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

/// A time signature.
struct Meter {
  int upper = 4;
  int lower = 4;

  [[nodiscard]] constexpr Beats bar_length() const noexcept { return beat_length() * upper; }
  /// The unit of the lower number, in which positions are counted and "/" is read: an eighth in 6/8.
  [[nodiscard]] constexpr Beats beat_length() const noexcept { return {4, lower}; }
  /// 6/8, 9/8 and 12/8: felt in dotted quarters.
  [[nodiscard]] constexpr bool is_compound() const noexcept { return lower == 8 && upper % 3 == 0 && upper > 3; }
  /// The felt pulse, which the tempo counts: a dotted quarter in compound meters, else the beat.
  [[nodiscard]] constexpr Beats pulse_length() const noexcept { return is_compound() ? Beats{3, 2} : beat_length(); }
  [[nodiscard]] constexpr int pulses() const noexcept { return is_compound() ? upper / 3 : upper; }

  friend constexpr bool operator==(const Meter&, const Meter&) noexcept = default;
};

inline constexpr std::array all_meters{Meter{2, 4}, Meter{3, 4}, Meter{4, 4}, Meter{5, 4},
                                       Meter{6, 8}, Meter{9, 8}, Meter{12, 8}};

/// "6/8".
[[nodiscard]] inline std::string to_string(const Meter& meter) {
  return std::to_string(meter.upper) + "/" + std::to_string(meter.lower);
}
/// One of all_meters, or nothing.
[[nodiscard]] inline std::optional<Meter> parse_meter(std::string_view text) {
  for (const Meter& meter : all_meters) {
    if (to_string(meter) == text) return meter;
  }
  return std::nullopt;
}

/// A time signature as people write it, as one that songs here have.
struct ReadMeter {
  Meter meter;
  bool other = false;  ///< it is not the one that was written
  Beats longer{1};     ///< how long a quarter note is then: 2 in 3/8, which becomes 3/4; 1/2 in 3/2

  /// A time that was written in the other meter.
  [[nodiscard]] constexpr Beats read(Beats time) const noexcept {
    return {time.numerator() * longer.numerator(), time.denominator() * longer.denominator()};
  }
  /// How long a bar is in the meter that was written, in quarter notes.
  [[nodiscard]] constexpr Beats written_bar() const noexcept {
    const Beats bar = meter.bar_length();
    return {bar.numerator() * longer.denominator(), bar.denominator() * longer.numerator()};
  }
};

/// One of all_meters; "C" and "common time"; or what sounds the same in one of them: "2/2", "C|" and "cut time" in 4/4,
/// "4/8" in 2/4, "3/8" and "3/2" in 3/4, "4/2" in 4/4, "6/4" in 6/8. Nothing for others, such as 7/8.
[[nodiscard]] inline std::optional<ReadMeter> parse_any_meter(std::string_view text) {
  if (const auto meter = parse_meter(text)) return ReadMeter{*meter};
  if (text == "C" || text == "c" || text == "common time") return ReadMeter{{4, 4}};
  struct Other {
    std::string_view name;
    ReadMeter meter;
  };
  constexpr std::array others{Other{"2/2", {{4, 4}, true}},         Other{"C|", {{4, 4}, true}},
                              Other{"cut time", {{4, 4}, true}},    Other{"alla breve", {{4, 4}, true}},
                              Other{"4/8", {{2, 4}, true}},         Other{"3/8", {{3, 4}, true, Beats(2)}},
                              Other{"3/2", {{3, 4}, true, {1, 2}}}, Other{"4/2", {{4, 4}, true, {1, 2}}},
                              Other{"6/4", {{6, 8}, true, {1, 2}}}};
  for (const Other& other : others) {
    if (other.name == text) return other.meter;
  }
  return std::nullopt;
}

}  // namespace romanesca
