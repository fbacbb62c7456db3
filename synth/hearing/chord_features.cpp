#include "synth/hearing/chord_features.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace romanesca {
namespace {

constexpr std::size_t feature_block = pitch_block;

/// The block that is centred on a sample; silence beyond the ends.
void copy_block(std::span<const float> sound, std::size_t centre, std::span<float> result) {
  for (std::size_t i = 0; i < feature_block; ++i) {
    const std::size_t at = centre + i;  // half a block later
    result[i] = at >= feature_block / 2 && at - feature_block / 2 < sound.size() ? sound[at - feature_block / 2] : 0;
  }
}

/// Weights of the notes by their distance from a centre, a bell over pitch.
using NoteWeights = std::array<float, pitch_bins / bins_per_semitone>;
NoteWeights register_weights(double centre_midi, double width) {
  NoteWeights weights{};
  for (std::size_t i = 0; i < weights.size(); ++i) {
    const double distance = (lowest_heard_midi + static_cast<double>(i) - centre_midi) / width;
    weights[i] = static_cast<float>(0.3 * std::exp(-0.5 * distance * distance));
  }
  return weights;
}

}  // namespace

double tuning_of(std::span<const float> sound) {
  AmplitudeSpectrum spectrum(feature_block);
  std::vector<float> samples(feature_block), lines(feature_block / 2 + 1);
  TuningMeter meter;
  double real = 0;
  double imaginary = 0;
  for (std::size_t centre = 0; centre < sound.size(); centre += 2 * PitchFrames::hop) {
    copy_block(sound, centre, samples);
    spectrum.compute(samples, lines);
    meter.add(lines);
    const double turn = 2 * std::numbers::pi * meter.cents() / 100;
    real += meter.agreement() * std::cos(turn);
    imaginary += meter.agreement() * std::sin(turn);
  }
  if (real == 0 && imaginary == 0) return 0;
  const double cents = std::atan2(imaginary, real) * 50 / std::numbers::pi;
  return cents > 30 ? cents - 100 : cents;
}

PitchFrames pitch_frames(std::span<const float> sound) {
  PitchFrames frames;
  frames.tuning_cents = tuning_of(sound);
  AmplitudeSpectrum spectrum(feature_block);
  PitchFold fold(feature_block);
  fold.set_tuning(frames.tuning_cents);
  std::vector<float> samples(feature_block), lines(feature_block / 2 + 1);
  float loudest = 1e-9f;
  for (std::size_t centre = 0; centre < sound.size(); centre += PitchFrames::hop) {
    copy_block(sound, centre, samples);
    spectrum.compute(samples, lines);
    fold.fold(lines, frames.rows.emplace_back());
    const float most = *std::max_element(frames.rows.back().begin(), frames.rows.back().end());
    frames.levels.push_back(most);
    loudest = std::max(loudest, most);
  }
  const float scale = 1000 / loudest;
  for (std::size_t i = 0; i < frames.rows.size(); ++i) {
    for (float& value : frames.rows[i]) value = std::log1p(value * scale);
    whiten(frames.rows[i]);
    frames.levels[i] = 20 * std::log10(std::max(frames.levels[i] / loudest, 1e-6f));
  }
  return frames;
}

RegisterChroma PitchFrames::chroma(double from_s, double to_s) const {
  static const std::array<NoteWeights, RegisterChroma::registers> weights{
      register_weights(40, 7), register_weights(57, 7), register_weights(72, 9)};
  RegisterChroma chroma;
  if (rows.empty()) return chroma;
  auto first = static_cast<std::size_t>(std::max(0.0, std::ceil(from_s / seconds)));
  auto end = static_cast<std::size_t>(std::max(0.0, std::ceil(to_s / seconds)));
  if (end <= first) {
    first = static_cast<std::size_t>(std::max(0.0, 0.5 * (from_s + to_s) / seconds));
    end = first + 1;
  }
  end = std::min(end, rows.size());
  first = std::min(first, end - 1);
  for (std::size_t note = 0; note < weights[0].size(); ++note) {
    float mean = 0;
    for (std::size_t i = first; i < end; ++i) mean += rows[i][note * bins_per_semitone + 1];
    mean = std::max(0.0f, mean / static_cast<float>(end - first));
    const std::size_t pitch_class = (static_cast<std::size_t>(lowest_heard_midi) + note) % 12;
    for (std::size_t r = 0; r < RegisterChroma::registers; ++r) chroma.rows[r][pitch_class] += weights[r][note] * mean;
  }
  return chroma;
}

}  // namespace romanesca
