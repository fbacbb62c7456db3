#include "theory/chords/chord_type.h"

#include <algorithm>
#include <array>

#include "theory/chords/chord_suffix.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

ChordTypeRow read_row(std::string_view line) {
  const std::size_t first = line.find('|');
  const std::size_t second = line.find('|', first + 1);
  ChordTypeRow row;
  for (std::string_view rest = trimmed(line.substr(0, first)); !rest.empty();) {
    const std::size_t end = std::min(rest.find(' '), rest.size());
    if (const auto tone = parse_interval(rest.substr(0, end))) {
      row.tones.push_back(*tone);
      row.type.add(*tone);
    }
    rest = trimmed(rest.substr(end));
  }
  const std::string_view symbol = trimmed(line.substr(first + 1, second - first - 1));
  row.symbol = symbol == "_" ? "" : std::string(symbol);
  row.name = trimmed(line.substr(second + 1));
  return row;
}

std::vector<ChordTypeRow> read_rows() {
  std::vector<ChordTypeRow> rows;
  for (std::string_view rest = chord_type_texts().front().text; !rest.empty();) {
    const std::size_t end = std::min(rest.find('\n'), rest.size());
    const std::string_view line = trimmed(rest.substr(0, end));
    if (!line.empty() && line.front() != '#') rows.push_back(read_row(line));
    rest.remove_prefix(std::min(end + 1, rest.size()));
  }
  return rows;
}

// Places on the line of fifths by the names of their intervals, each name's from the lowest up.
constexpr std::array<Interval, 3> roots{intervals::unison, Interval{7, -4}, Interval{-7, 4}};
constexpr std::array<Interval, 4> thirds{Interval::simple(-10), intervals::minor_third, intervals::major_third,
                                         Interval::simple(11)};
constexpr std::array<Interval, 3> fifths{intervals::diminished_fifth, intervals::perfect_fifth,
                                         intervals::augmented_fifth};
constexpr std::array<Interval, 3> sixths{Interval::simple(-11), intervals::minor_sixth, intervals::major_sixth};
constexpr std::array<Interval, 4> sevenths{intervals::diminished_seventh, intervals::minor_seventh,
                                           intervals::major_seventh, Interval::simple(12)};
constexpr std::array<Interval, 4> seconds{Interval::simple(-12), intervals::minor_second, intervals::major_second,
                                          Interval::simple(9)};
constexpr std::array<Interval, 3> fourths{Interval::simple(-8), intervals::perfect_fourth, Interval::simple(6)};
constexpr std::array<Interval, 1> raised_sixths{Interval::simple(10)};

}  // namespace

ShortList<Interval, most_tones> ChordType::tones() const noexcept {
  // Seconds and fourths count as ninths and elevenths when a third is there, sixths as thirteenths over a seventh.
  using namespace intervals;
  const Interval high = has_third() ? octave : unison;
  const Interval sixths_high = has_seventh() ? octave : unison;
  ShortList<Interval, most_tones> result;
  const auto take = [&](std::span<const Interval> places, Interval raised) {
    for (const Interval place : places) {
      if (has(place)) result.push_back(place + raised);
    }
  };
  take(roots, unison);
  take(thirds, unison);
  // A fourth replaces the third; a second does too, unless a fourth has replaced it in a seventh chord: then it is a
  // ninth.
  const bool stands_for_third = !has_third();
  const bool ninth_on_top = stands_for_third && has_seventh() && has(perfect_fourth);
  if (stands_for_third) {
    if (!ninth_on_top) take(seconds, high);
    take(fourths, high);
  }
  take(fifths, unison);
  if (!has_seventh()) take(sixths, sixths_high);
  take(sevenths, unison);
  if (!stands_for_third || ninth_on_top) take(seconds, octave);
  if (!stands_for_third) take(fourths, high);
  if (has_seventh()) take(sixths, sixths_high);
  take(raised_sixths, sixths_high);
  return result;
}

ChordType ChordType::triad() const noexcept {
  using namespace intervals;
  ChordType result{unison};
  for (const Interval tone : {minor_third, major_third, diminished_fifth, perfect_fifth, augmented_fifth}) {
    if (has(tone)) result.add(tone);
  }
  if (!has_third()) {
    for (const Interval tone : {major_second, perfect_fourth}) {
      if (has(tone)) result.add(tone);
    }
  }
  return result;
}

std::span<const ChordTypeRow> chord_type_rows() {
  static const std::vector<ChordTypeRow> rows = read_rows();
  return rows;
}

std::string name_of(ChordType type) {
  for (const ChordTypeRow& row : chord_type_rows()) {
    if (row.type == type) return row.name;
  }
  return write_chord_suffix(type);
}

}  // namespace romanesca
