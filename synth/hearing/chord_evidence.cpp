#include "synth/hearing/chord_evidence.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace romanesca {
namespace {

float weighted(const ChordWeights::Row& weights, const ChordWeights::Row& inputs) noexcept {
  float sum = 0;
  for (std::size_t i = 0; i < inputs.size(); ++i) sum += weights[i] * inputs[i];
  return sum;
}

/// Hundredths, which is as exactly as they are known.
template <typename Values>
void add_line(std::string& text, const Values& values) {
  for (const float value : values) {
    if (text.size() > 1 && text.back() != '\n') text += ' ';
    text += std::to_string(std::lround(value * 100));
  }
  text += '\n';
}

}  // namespace

ChordWeights ChordWeights::from_text(std::string_view text) {
  while (text.starts_with('#')) text.remove_prefix(std::min(text.find('\n'), text.size() - 1) + 1);
  const std::string numbers(text);
  const char* at = numbers.c_str();
  const auto next = [&] {
    char* end = nullptr;
    const long value = std::strtol(at, &end, 10);
    at = end;
    return static_cast<float>(value) / 100;
  };
  ChordWeights weights;
  for (Row& row : weights.qualities) {
    for (float& value : row) value = next();
  }
  for (float& value : weights.none) value = next();
  for (float& value : weights.bass) value = next();
  return weights;
}

std::string ChordWeights::to_text() const {
  std::string text;
  for (const Row& row : qualities) add_line(text, row);
  add_line(text, none);
  add_line(text, bass);
  return text;
}

ChordWeights::Row chord_inputs(const RegisterChroma& chroma, int root) noexcept {
  ChordWeights::Row inputs{};
  for (std::size_t r = 0; r < RegisterChroma::registers; ++r) {
    for (std::size_t i = 0; i < 12; ++i) inputs[12 * r + i] = chroma.rows[r][(static_cast<std::size_t>(root) + i) % 12];
  }
  inputs.back() = 1;
  return inputs;
}

ChordClassifier::ChordClassifier() : weights_(ChordWeights::from_text(chord_weight_texts().front().text)) {}

ChordEvidence ChordClassifier::chords(const RegisterChroma& chroma) const noexcept {
  ChordEvidence evidence{};
  for (int root = 0; root < 12; ++root) {
    const ChordWeights::Row inputs = chord_inputs(chroma, root);
    for (std::size_t quality = 0; quality < chord_qualities; ++quality)
      evidence[chord_class(root, static_cast<ChordQuality>(quality))] = weighted(weights_.qualities[quality], inputs);
  }
  evidence[no_chord_class] = weights_.none.back();
  for (std::size_t r = 0; r < RegisterChroma::registers; ++r) {
    for (const float value : chroma.rows[r]) evidence[no_chord_class] += weights_.none[r] * value;
  }
  const float highest = *std::max_element(evidence.begin(), evidence.end());
  float sum = 0;
  for (const float value : evidence) sum += std::exp(value - highest);
  for (float& value : evidence) value -= highest + std::log(sum);
  return evidence;
}

BassEvidence ChordClassifier::bass(const RegisterChroma& chroma) const noexcept {
  BassEvidence evidence{};
  for (int tone = 0; tone < 12; ++tone)
    evidence[static_cast<std::size_t>(tone)] = weighted(weights_.bass, chord_inputs(chroma, tone));
  return evidence;
}

int likely_bass(const BassEvidence& evidence, std::size_t chord) noexcept {
  // How rare a bass is that is not the root, in nats: a judgement.
  constexpr float tone_cost = 2, foreign_cost = 5;
  const auto& tones = chord_quality_tones[static_cast<std::size_t>(quality_of(chord))];
  const int root = root_of(chord);
  int best = root;
  float best_value = -1e9f;
  for (int interval = 0; interval < 12; ++interval) {
    const bool own = std::find(tones.begin(), tones.end(), interval) != tones.end();
    const float cost = interval == 0 ? 0 : own ? tone_cost : foreign_cost;
    const int pitch_class = (root + interval) % 12;
    const float value = evidence[static_cast<std::size_t>(pitch_class)] - cost;
    if (value <= best_value) continue;
    best_value = value;
    best = pitch_class;
  }
  return best;
}

}  // namespace romanesca
