#include "theory/tunes/tune_writer.h"

#include <fmt/format.h>

#include <numeric>

#include "theory/tunes/music_code.h"
#include "theory/tunes/written_pitch.h"

namespace romanesca {
namespace {

/// A note or rest of a bar.
struct TimedSign {
  const BarNote* note = nullptr;  ///< null for a rest
  Beats start, length;
};

/// The part of a number that 2 does not divide.
std::int64_t odd_part(std::int64_t number) {
  while (number % 2 == 0) number /= 2;
  return number;
}

class BarText {
 public:
  BarText(BarAccidentals& accidentals, const BarsToWrite& line) : accidentals_(accidentals), line_(line) {}

  /// @param from where the bar begins; 0, or less in an upbeat @param to where it ends
  std::string write(const BarNotes& notes, Beats from, Beats to) {
    const std::vector<TimedSign> signs = with_rests(notes, from, to);
    for (std::size_t i = 0; i < signs.size();) {
      const std::size_t group = group_from(signs, i);
      begin_sign(signs, i);
      if (group > 1 || odd_ > 1) text_ += tuplet_sign(group);
      for (std::size_t k = i; k < i + group; ++k) {
        if (k > i) begin_sign(signs, k);
        add(signs[k]);
      }
      i += group;
    }
    return std::move(text_);
  }

 private:
  static std::vector<TimedSign> with_rests(const BarNotes& notes, Beats from, Beats to) {
    std::vector<TimedSign> signs;
    Beats at = from;
    for (const BarNote& note : notes) {
      if (note.start > at) signs.push_back({nullptr, at, note.start - at});
      signs.push_back({&note, note.start, note.length});
      at = note.start + note.length;
    }
    if (at < to) signs.push_back({nullptr, at, to - at});
    return signs;
  }

  [[nodiscard]] Beats units(Beats length) const {
    return {length.numerator() * line_.unit.denominator(), length.denominator() * line_.unit.numerator()};
  }

  /// How many signs from one on are a tuplet together: until their times are halves and quarters again. 1 and an odd_
  /// of 1 for a sign that is in none.
  std::size_t group_from(const std::vector<TimedSign>& signs, std::size_t first) {
    odd_ = 1;
    Beats sum;
    for (std::size_t i = first; i < signs.size(); ++i) {
      const Beats length = units(signs[i].length);
      odd_ = std::lcm(odd_, odd_part(length.denominator()));
      sum += length;
      if (odd_part(sum.denominator()) == 1) return i + 1 - first;
    }
    return signs.size() - first;
  }

  /// Three in the time of two, five of four, seven and nine of eight.
  [[nodiscard]] std::string tuplet_sign(std::size_t group) {
    time_of_ = 1;
    while (2 * time_of_ < odd_) time_of_ *= 2;
    if (odd_ == 7) time_of_ = 8;
    if (odd_ == 9) time_of_ = 8;
    if (odd_ == 3 && group == 3) return "(3";
    return fmt::format("({}:{}:{}", odd_, time_of_, group);
  }

  /// A blank before it, unless it is beamed to the one before.
  void begin_sign(const std::vector<TimedSign>& signs, std::size_t i) {
    if (i == 0) return;
    const TimedSign& before = signs[i - 1];
    const bool beamed = before.note != nullptr && signs[i].note != nullptr && before.length < Beats(1) &&
                        signs[i].length < Beats(1) &&
                        whole_times(before.start, line_.meter.pulse_length()) ==
                            whole_times(signs[i].start, line_.meter.pulse_length());
    if (!beamed) text_ += ' ';
  }

  void add(const TimedSign& sign) {
    Beats length = units(sign.length);
    if (odd_ > 1) length = Beats(length.numerator() * odd_, length.denominator() * time_of_);
    text_ += sign.note == nullptr ? "z" : accidentals_.write(sign.note->pitch);
    text_ += length_text(length);
    if (sign.note != nullptr && sign.note->tied) text_ += '-';
  }

  BarAccidentals& accidentals_;
  const BarsToWrite& line_;
  std::string text_;
  std::int64_t odd_ = 1, time_of_ = 1;
};

}  // namespace

std::vector<std::string> write_tune_bars(const BarsToWrite& line) {
  std::vector<std::string> texts;
  BarAccidentals accidentals(line.signature);
  if (line.upbeat != nullptr && !line.upbeat->empty()) {
    texts.push_back(BarText(accidentals, line).write(*line.upbeat, line.upbeat->front().start, Beats(0)));
    accidentals.begin_bar();
  }
  for (const BarNotes* bar : line.bars) {
    texts.push_back(bar->empty() ? "Z" : BarText(accidentals, line).write(*bar, Beats(0), line.meter.bar_length()));
    accidentals.begin_bar();
  }
  return texts;
}

}  // namespace romanesca
