#include "synth/hearing/chord_successions.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>
#include <string_view>

namespace romanesca {
namespace {

constexpr float added_count = 12;         // spread over all followers in proportion to how usual they are
constexpr float no_chord_share = 0.004f;  // of the time

/// The words of a line.
std::vector<std::string_view> words_of(std::string_view line) {
  std::vector<std::string_view> words;
  while (!line.empty()) {
    const std::size_t end = std::min(line.find(' '), line.size());
    if (end > 0) words.push_back(line.substr(0, end));
    line.remove_prefix(std::min(end + 1, line.size()));
  }
  return words;
}

std::size_t class_at(std::string_view root, std::string_view quality) {
  const auto word = std::find(chord_quality_words.begin(), chord_quality_words.end(), quality);
  return chord_class(std::atoi(std::string(root).c_str()),
                     static_cast<ChordQuality>(word - chord_quality_words.begin()));
}

/// Calls @p use with the words of each line of the table that begins with @p kind.
template <typename Use>
void each_line(std::string_view kind, const Use& use) {
  std::string_view text = chord_succession_texts().front().text;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const auto words = words_of(text.substr(0, end));
    if (!words.empty() && words.front() == kind) use(words);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
}

float number_of(std::string_view word) { return std::strtof(std::string(word).c_str(), nullptr); }

}  // namespace

ChordSuccessions::ChordSuccessions() {
  Row usual{};
  usual.fill(0.3f);
  each_line("time", [&](const auto& words) { usual[class_at(words[1], words[2])] += number_of(words[3]); });
  float sum = 0;
  usual[no_chord_class] = 0;
  for (const float value : usual) sum += value;
  usual[no_chord_class] = no_chord_share * sum;
  for (float& value : usual) value /= sum * (1 + no_chord_share);
  std::array<Row, chord_classes> counts{};
  each_line("next", [&](const auto& words) {
    Row& row = counts[class_at(words[1], words[2])];
    for (std::size_t i = 3; i + 2 < words.size(); i += 3)
      row[class_at(words[i], words[i + 1])] += number_of(words[i + 2]);
  });
  for (std::size_t from = 0; from < chord_classes; ++from) {
    float row_sum = 0;
    for (std::size_t to = 0; to < chord_classes; ++to) {
      counts[from][to] = to == from ? 0 : counts[from][to] + added_count * usual[to];
      row_sum += counts[from][to];
    }
    for (std::size_t to = 0; to < chord_classes; ++to) {
      next_[from][to] = std::log(counts[from][to] / row_sum + 1e-9f);
      counts[from][to] /= row_sum;
    }
    usual_[from] = std::log(usual[from]);
  }
  // The mean over the twelve keys, each weighted by how usual the first chord is there.
  for (std::size_t from = 0; from < chord_classes; ++from) {
    for (std::size_t to = 0; to < chord_classes; ++to) {
      float value = 0;
      float weight = 0;
      for (int tonic = 0; tonic < 12; ++tonic) {
        const std::size_t here = moved_class(from, -tonic);
        value += usual[here] * counts[here][moved_class(to, -tonic)];
        weight += usual[here];
      }
      any_[from][to] = std::log(value / weight + 1e-9f);
    }
  }
}

std::vector<double> change_chances(int pulses) {
  // The table has bars of four; the others are a judgement, after it.
  static const std::array<std::vector<double>, 4> supposed{
      {{0.6, 0.1}, {0.62, 0.05, 0.07}, {0.65, 0.02, 0.18, 0.04}, {0.62, 0.03, 0.06, 0.15, 0.03}}};
  std::vector<double> chances = supposed[static_cast<std::size_t>(std::clamp(pulses, 2, 5)) - 2];
  each_line("change", [&](const auto& words) {
    if (words.size() != chances.size() + 1) return;
    for (std::size_t i = 0; i < chances.size(); ++i)
      chances[i] = std::clamp(static_cast<double>(number_of(words[i + 1])), 0.02, 0.9);
  });
  return chances;
}

}  // namespace romanesca
