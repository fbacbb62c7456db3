#include "synth/sound/note_envelope.h"

#include <algorithm>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr double fade_s = 0.006;

struct EnvelopeRamp {
  float attack, attack_step, level, level_step, left_gain, right_gain;
};

ROMANESCA_VECTOR_CLONES
// cppcheck-suppress passedByValue; so that nothing in the loop can change it
void apply_envelope(const float* __restrict tone, const EnvelopeRamp ramp, float* __restrict left,
                    float* __restrict right) {
  for (int i = 0; i < static_cast<int>(block_frames); ++i) {
    const auto n = static_cast<float>(i);
    const float rise = ramp.attack + ramp.attack_step * n;
    const float sample = tone[i] * (rise < 1.0f ? rise : 1.0f) * (ramp.level + ramp.level_step * n);
    left[i] += sample * ramp.left_gain;
    right[i] += sample * ramp.right_gain;
  }
}

}  // namespace

void NoteEnvelope::start(const Times& times, double sample_rate_hz) noexcept {
  constexpr double block = block_frames;
  attack_ = times.attack_s > 0 ? 0.0f : 1.0f;
  attack_step_ = static_cast<float>(1.0 / std::max(1.0, static_cast<double>(times.attack_s) * sample_rate_hz));
  level_ = 1;
  const double release_s = std::max(0.005, static_cast<double>(times.release_s));
  decay_ = static_cast<float>(decay_per_frame(release_s, sample_rate_hz / block));
  fade_decay_ = static_cast<float>(decay_per_frame(fade_s, sample_rate_hz / block));
  // Constant power, scaled so that the middle has gain 1.
  const Rotation angle = rotation_of((static_cast<double>(times.pan) + 1) / 8);
  left_gain_ = static_cast<float>(angle.cosine * 1.41421356237309504880);
  right_gain_ = static_cast<float>(angle.sine * 1.41421356237309504880);
  offset_ = times.offset;
  released_ = false;
}

void NoteEnvelope::fade() noexcept {
  released_ = true;
  decay_ = std::min(decay_, fade_decay_);
}

void NoteEnvelope::add_shaped(const float* tone, float* left, float* right) noexcept {
  constexpr auto length = static_cast<float>(block_frames);
  const float to = released_ ? level_ * decay_ : level_;
  apply_envelope(tone, {attack_, attack_step_, level_, (to - level_) / length, left_gain_, right_gain_}, left + offset_,
                 right + offset_);
  attack_ = std::min(1.0f, attack_ + attack_step_ * length);
  level_ = to;
}

}  // namespace romanesca
