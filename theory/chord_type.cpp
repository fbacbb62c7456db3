#include "theory/chord_type.h"

#include <array>

#include "theory/chord_suffix.h"

namespace romanesca {
namespace {

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

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

}  // namespace

std::vector<Interval> ChordType::tones() const {
  // Line-of-fifths places in the order of their names, each with its octave: seconds and fourths count as ninths and
  // elevenths when a third is there.
  using namespace intervals;
  const Interval high = has_third() ? octave : unison;
  const Interval sixths_high = has_seventh() ? octave : unison;
  const std::array<Interval, 25> order{unison,
                                       Interval{7, -4},
                                       Interval{-7, 4},  // 1 #1 b1
                                       Interval::simple(-10),
                                       minor_third,
                                       major_third,
                                       Interval::simple(11),  // thirds
                                       diminished_fifth,
                                       perfect_fifth,
                                       augmented_fifth,  // fifths
                                       Interval::simple(-11) + sixths_high,
                                       minor_sixth + sixths_high,
                                       major_sixth + sixths_high,  // sixths
                                       diminished_seventh,
                                       minor_seventh,
                                       major_seventh,
                                       Interval::simple(12),  // sevenths
                                       Interval::simple(-12) + high,
                                       minor_second + high,
                                       major_second + high,
                                       Interval::simple(9) + high,  // ninths
                                       Interval::simple(-8) + high,
                                       perfect_fourth + high,
                                       Interval::simple(6) + high,           // elevenths
                                       Interval::simple(10) + sixths_high};  // #6
  std::vector<Interval> result;
  const auto take = [&](std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i) {
      if (has(order[i])) result.push_back(order[i]);
    }
  };
  take(0, 3);
  if (has_third()) {
    take(3, 10);
    if (!has_seventh()) take(10, 13);
    take(13, 24);
    if (has_seventh()) take(10, 13);
  } else {
    // A fourth stands for the third; a second does unless the fourth has done so in a seventh chord: then it is a
    // ninth.
    const bool ninth_on_top = has_seventh() && has(perfect_fourth);
    take(3, 7);
    if (!ninth_on_top) take(17, 21);
    take(21, 24);
    take(7, 10);
    if (!has_seventh()) take(10, 13);
    take(13, 17);
    if (ninth_on_top) {
      for (std::size_t i = 17; i < 21; ++i) {
        if (has(order[i])) result.push_back(order[i] + octave);
      }
    }
    if (has_seventh()) take(10, 13);
  }
  take(24, 25);
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
