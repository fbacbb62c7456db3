#include "theory/notes/interval.h"

#include <array>
#include <charconv>

namespace romanesca {
namespace {

/// Fifths of the major or perfect interval on each letter of the octave: P1 M2 M3 P4 P5 M6 M7.
constexpr std::array<int, 7> natural_fifths{0, 2, 4, -1, 1, 3, 5};

constexpr bool is_perfect(int letters) { return letters == 0 || letters == 3 || letters == 4; }

}  // namespace

std::string to_string(Interval interval) {
  const bool falling = interval.letters() < 0 || (interval.letters() == 0 && interval.semitones() < 0);
  const Interval rising = falling ? -interval : interval;
  const int letter = rising.letters() % 7;
  const int alteration = (rising.fifths() - natural_fifths[static_cast<std::size_t>(letter)]) / 7;
  std::string quality;
  if (is_perfect(letter)) {
    quality = alteration == 0  ? "P"
              : alteration > 0 ? std::string(static_cast<std::size_t>(alteration), 'A')
                               : std::string(static_cast<std::size_t>(-alteration), 'd');
  } else {
    quality = alteration == 0    ? "M"
              : alteration == -1 ? "m"
              : alteration > 0   ? std::string(static_cast<std::size_t>(alteration), 'A')
                                 : std::string(static_cast<std::size_t>(-alteration - 1), 'd');
  }
  return (falling ? "-" : "") + quality + std::to_string(rising.number());
}

std::optional<Interval> parse_interval(std::string_view text) {
  const bool falling = !text.empty() && text.front() == '-';
  if (falling) text.remove_prefix(1);
  const std::size_t digits = text.find_first_of("0123456789");
  if (digits == 0 || digits == std::string_view::npos) return std::nullopt;
  const std::string_view quality = text.substr(0, digits);
  int number = 0;
  const char* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data() + digits, end, number);
  if (error != std::errc{} || stop != end || number < 1 || number > 99) return std::nullopt;

  const int letter = (number - 1) % 7;
  const bool perfect = is_perfect(letter);
  int alteration = 0;
  if (quality == "P" || quality == "M") {
    if (perfect != (quality == "P")) return std::nullopt;
  } else if (quality == "m") {
    if (perfect) return std::nullopt;
    alteration = -1;
  } else {
    const char sign = quality.front();
    if ((sign != 'A' && sign != 'd') || quality.find_first_not_of(sign) != std::string_view::npos) return std::nullopt;
    const int count = static_cast<int>(quality.size());
    alteration = sign == 'A' ? count : -count - (perfect ? 0 : 1);
  }
  const int fifths = natural_fifths[static_cast<std::size_t>(letter)] + 7 * alteration;
  const Interval rising{fifths, (number - 1 - 4 * fifths) / 7};
  return falling ? -rising : rising;
}

}  // namespace romanesca
