#pragma once

#include <cstdlib>
#include <optional>
#include <string>
#include <string_view>

namespace romanesca {

/// A spelled, directed interval as steps on the line of fifths plus octaves. A major third up is four fifths up and two
/// octaves down: (4, -2). In these coordinates transposition is addition, and F sharp and G flat keep their letters
/// with no table of exceptions.
class Interval {
 public:
  constexpr Interval() noexcept = default;
  /// @param fifths perfect fifths up (negative: down) @param octaves octaves up after that.
  constexpr Interval(int fifths, int octaves) noexcept : fifths_(fifths), octaves_(octaves) {}

  /// The smallest rising interval with this place on the line of fifths: from 0 to 6 letters up. 1 is P5, -1 is P4.
  static constexpr Interval simple(int fifths) noexcept {
    const int letters = fifths * 4;
    const int floored = letters >= 0 ? letters / 7 : -((-letters + 6) / 7);
    return {fifths, -floored};
  }

  [[nodiscard]] constexpr int fifths() const noexcept { return fifths_; }
  [[nodiscard]] constexpr int octaves() const noexcept { return octaves_; }
  [[nodiscard]] constexpr int semitones() const noexcept { return 7 * fifths_ + 12 * octaves_; }
  /// Letters moved: 0 for a unison, 2 for any third up, -2 for any third down.
  [[nodiscard]] constexpr int letters() const noexcept { return 4 * fifths_ + 7 * octaves_; }
  /// The number musicians say, always positive: 1 unison, 3 third, 9 ninth.
  [[nodiscard]] constexpr int number() const noexcept { return std::abs(letters()) + 1; }

  friend constexpr Interval operator+(Interval a, Interval b) noexcept {
    return {a.fifths_ + b.fifths_, a.octaves_ + b.octaves_};
  }
  friend constexpr Interval operator-(Interval a, Interval b) noexcept {
    return {a.fifths_ - b.fifths_, a.octaves_ - b.octaves_};
  }
  constexpr Interval operator-() const noexcept { return {-fifths_, -octaves_}; }
  friend constexpr bool operator==(Interval, Interval) noexcept = default;

 private:
  int fifths_ = 0;
  int octaves_ = 0;
};

namespace intervals {
inline constexpr Interval unison{0, 0}, minor_second{-5, 3}, major_second{2, -1}, minor_third{-3, 2},
    major_third{4, -2}, perfect_fourth{-1, 1}, augmented_fourth{6, -3}, diminished_fifth{-6, 4}, perfect_fifth{1, 0},
    augmented_fifth{8, -4}, augmented_sixth{10, -5}, minor_sixth{-4, 3}, major_sixth{3, -1}, diminished_seventh{-9, 6},
    minor_seventh{-2, 2}, major_seventh{5, -2}, octave{0, 1};
}  // namespace intervals

/// "M3", "P5", "d7", "A4", "m9"; a falling one has a minus: "-m3". Doubly altered: "dd5", "AA4".
[[nodiscard]] std::string to_string(Interval interval);

/// Reads what to_string writes; nothing for any other text. Numbers from 1 to 99.
[[nodiscard]] std::optional<Interval> parse_interval(std::string_view text);

}  // namespace romanesca
