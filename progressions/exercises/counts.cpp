#include "progressions/exercises/counts.h"

#include <array>
#include <cctype>

namespace romanesca {
namespace {

constexpr std::array<std::string_view, 4> quarters_of_beat{"", "e", "&", "a"};

/// Which quarter of its beat a place is in, 0 to 3; nothing for a finer one.
std::optional<std::size_t> part_of(Beats into_beat, const Meter& meter) {
  for (std::size_t part = 0; part < quarters_of_beat.size(); ++part) {
    if (into_beat == meter.beat_length() * static_cast<std::int64_t>(part) / 4) return part;
  }
  return std::nullopt;
}

struct Count {
  std::int64_t number = 1;
  std::string_view part;
};

Count count_at(Beats in_bar, const Meter& meter) {
  const std::int64_t beat = whole_times(in_bar, meter.beat_length());
  const auto part = part_of(in_bar - meter.beat_length() * beat, meter);
  return {beat + 1, quarters_of_beat[part.value_or(0)]};
}

/// The words of a line of counts: a bar line, a sign and whatever stands in parentheses are words of their own.
std::vector<std::string> words_in(std::string_view text) {
  std::vector<std::string> words;
  bool joined = false;  // the last word is a number that may go on, or an open parenthesis
  for (const char c : text) {
    const bool digit = std::isdigit(static_cast<unsigned char>(c)) != 0;
    if (c == '(') {
      words.emplace_back("(");
      joined = true;
    } else if (c == ')' && joined && !words.empty()) {
      words.back() += c;
      joined = false;
    } else if (digit && joined) {
      words.back() += c;
    } else if (std::isspace(static_cast<unsigned char>(c)) != 0 || c == ',') {
      if (words.empty() || words.back() != "(") joined = false;
    } else {
      words.emplace_back(1, c);
      joined = digit;
    }
  }
  return words;
}

}  // namespace

std::vector<std::vector<std::string>> counts_of(const std::vector<RhythmNote>& rhythm, const Meter& meter) {
  std::vector<std::vector<std::string>> places;
  std::int64_t bar = 0;
  std::int64_t said = 0;  // the last number
  for (const RhythmNote& note : rhythm) {
    const std::int64_t here = whole_times(note.start, meter.bar_length());
    std::string text;
    for (; bar < here; ++bar) text += "| ", said = 0;
    const Count count = count_at(note.start - meter.bar_length() * here, meter);
    if (count.part.empty()) {
      text += std::to_string(count.number);
    } else {
      if (said != count.number) text += "(" + std::to_string(count.number) + ") ";
      text += count.part;
    }
    said = count.number;
    places.push_back({std::move(text)});
  }
  return places;
}

namespace {

/// Where a word of counting stands in its bar: "3", or "&" after a number. Nothing for any other word.
/// @param beat the number said last, from 0; -1 for none in this bar
std::optional<Beats> place_of_count(const std::string& word, const Meter& meter, std::int64_t& beat) {
  if (std::isdigit(static_cast<unsigned char>(word.front())) != 0) {
    if (word.size() > 2) return std::nullopt;
    beat = std::stoll(word) - 1;
    if (beat < 0 || beat >= meter.upper) return std::nullopt;
    return meter.beat_length() * beat;
  }
  const std::int64_t part = word == "e" ? 1 : word == "&" || word == "+" ? 2 : word == "a" ? 3 : 0;
  if (part == 0 || beat < 0) return std::nullopt;
  return meter.beat_length() * beat + meter.beat_length() * part / 4;
}

}  // namespace

std::optional<std::vector<std::vector<Beats>>> read_counts(std::string_view text, const Meter& meter) {
  std::vector<std::vector<Beats>> bars(1);
  std::int64_t beat = -1;  // none said yet in this bar
  constexpr std::size_t most_bars = 64;
  for (std::string word : words_in(text)) {
    if (word == "|") {
      beat = -1;
      if (!bars.back().empty()) bars.emplace_back();
      if (bars.size() > most_bars) return std::nullopt;
      continue;
    }
    const bool silent = word.front() == '(';
    if (silent) {
      if (word.back() != ')' || word.size() < 3) return std::nullopt;
      word = word.substr(1, word.size() - 2);
    }
    const bool number = std::isdigit(static_cast<unsigned char>(word.front())) != 0;
    const auto place = place_of_count(word, meter, beat);
    if (!place || (silent && !number)) return std::nullopt;
    if (!silent) bars.back().push_back(*place);
  }
  if (bars.size() > 1 && bars.back().empty()) bars.pop_back();
  if (bars.front().empty()) return std::nullopt;
  return bars;
}

std::string count_name(Beats in_bar, const Meter& meter) {
  const Count count = count_at(in_bar, meter);
  return std::to_string(count.number) + (count.part.empty() ? "" : " " + std::string(count.part));
}

}  // namespace romanesca
