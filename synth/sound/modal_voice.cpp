#include "synth/sound/modal_voice.h"

#include <algorithm>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr float silence = 1.5e-4f;         // -76 dB, before the instrument's own gain: such a partial is dropped
constexpr double highest_fraction = 0.45;  // of the sample rate
constexpr float first_spread = 0.05f;      // how much the level of a partial differs from note to note: the first
constexpr float spread = 0.12f;            // the others; about a decibel, so that strokes differ and loudness does not

/// tone = the sum over partials of real * cosine - imaginary * sine, over a sub-block, whose sums stay in registers.
/// Plain loops: GCC takes a vector type apart for the weakest processor before it makes the versions for the others.
/// @param shapes and tone aligned to 64 bytes
ROMANESCA_VECTOR_CLONES
void sum_shapes(const float* __restrict shapes, const float* __restrict real, const float* __restrict imaginary,
                std::size_t count, float* __restrict tone) {
  constexpr std::size_t frames = block_frames / 2;
  alignas(64) float sum[frames] = {};  // NOLINT(modernize-avoid-c-arrays): what the compiler keeps in registers
  for (std::size_t p = 0; p < count; ++p, shapes += 2 * frames) {
    const float re = real[p];
    const float im = imaginary[p];
    for (std::size_t i = 0; i < frames; ++i) sum[i] += re * shapes[i] - im * shapes[frames + i];
  }
  for (std::size_t i = 0; i < frames; ++i) tone[i] = sum[i];
}

/// The phasors as floats and their squared magnitudes, then each rotated by one sub-block.
ROMANESCA_VECTOR_CLONES
void rotate_phasors(double* __restrict real, double* __restrict imaginary, const double* __restrict turn_real,
                    const double* __restrict turn_imaginary, float* __restrict real_now,
                    float* __restrict imaginary_now, float* __restrict squares, std::size_t count) {
  for (std::size_t p = 0; p < count; ++p) {
    const double re = real[p];
    const double im = imaginary[p];
    real_now[p] = static_cast<float>(re);
    imaginary_now[p] = static_cast<float>(im);
    squares[p] = static_cast<float>(re * re + im * im);
    real[p] = re * turn_real[p] - im * turn_imaginary[p];
    imaginary[p] = re * turn_imaginary[p] + im * turn_real[p];
  }
}

std::size_t rounded_up(std::size_t count, std::size_t multiple) { return (count + multiple - 1) / multiple * multiple; }

}  // namespace

void ModalVoice::start(const NoteInput& note, std::uint32_t seed, std::size_t offset) noexcept {
  const ModalPatch patch = patch_of_(note);
  float squares = 0;
  for (std::size_t i = 0; i < patch.count; ++i) squares += patch.partials[i].level * patch.partials[i].level;
  const float level = note.force * std::sqrt(note.force);
  const float scale = level / std::sqrt(std::max(squares, 1e-12f));
  count_ = 0;
  strongest_ = 0;
  blocks_ = 0;
  float varied = scale;
  Noise chance(mixed_seed(seed));
  for (std::size_t i = 0; i < patch.count; ++i) {
    const Partial& partial = patch.partials[i];
    const double step_turns = partial.ratio * note.frequency_hz / sample_rate_hz_;
    // Partials of one ratio belong together.
    if (i == 0 || partial.ratio != patch.partials[i - 1].ratio)
      varied = scale * (1 + (i == 0 ? first_spread : spread) * chance.next());
    const float own = partial.level * varied;
    if (step_turns >= highest_fraction || std::abs(own) < silence) continue;
    add_partial(step_turns, own, partial.decay_s, partial.ratio);
    strongest_ = std::max(strongest_, std::abs(own));
  }
  for (std::size_t p = count_; p < rounded_up(count_, group); ++p) real_[p] = imaginary_[p] = 0;
  envelope_.start({patch.attack_s, patch.release_s, patch.pan, offset}, sample_rate_hz_);
  active_ = count_ > 0;
  noise_ = Noise(seed);
  noise_level_ = patch.noise * level;
  noise_decay_ =
      static_cast<float>(decay_per_frame(std::max(static_cast<double>(patch.noise_decay_s), 0.001), sample_rate_hz_));
  const auto cutoff = static_cast<double>(patch.noise_cutoff_hz);
  noise_smoothing_ = static_cast<float>(1 - time_constant_decay(0.15915494 / cutoff, sample_rate_hz_));
  const auto low = static_cast<double>(patch.noise_low_hz);
  noise_low_smoothing_ = low > 0 ? static_cast<float>(1 - time_constant_decay(0.15915494 / low, sample_rate_hz_)) : 0;
  noise_state_ = noise_low_state_ = 0;
}

void ModalVoice::add_partial(double step_turns, float level, float decay_s, double ratio) noexcept {
  const double decay = decay_per_frame(static_cast<double>(decay_s), sample_rate_hz_);
  const Rotation step = rotation_of(step_turns);
  const double step_real = decay * step.cosine;
  const double step_imaginary = decay * step.sine;
  Shape& shape = shapes_[count_];
  double real = 1;
  double imaginary = 0;
  for (std::size_t i = 0; i < sub_block; ++i) {
    shape[i] = static_cast<float>(real);
    shape[sub_block + i] = static_cast<float>(imaginary);
    const double next = real * step_real - imaginary * step_imaginary;
    imaginary = real * step_imaginary + imaginary * step_real;
    real = next;
  }
  turn_real_[count_] = real;
  turn_imaginary_[count_] = imaginary;
  // Phases that rise with the square of the number decay the partials of a tone from peaking together (Schroeder, IEEE
  // Transactions on Information Theory 16, 1970). The first starts as a sine, from zero.
  const double number = std::floor(ratio + 0.5);
  const Rotation start = rotation_of(-0.25 + number * (number - 1) / 36);
  real_[count_] = static_cast<double>(level) * start.cosine;
  imaginary_[count_] = static_cast<double>(level) * start.sine;
  ++count_;
}

void ModalVoice::add_to(float* left, float* right) noexcept {
  if (!active_) return;
  alignas(64) std::array<float, most_partials> real;
  alignas(64) std::array<float, most_partials> imaginary;
  alignas(64) std::array<float, block_frames> tone;
  const std::size_t padded = rounded_up(count_, group);
  for (std::size_t at = 0; at < block_frames; at += sub_block) {
    rotate_phasors(real_.data(), imaginary_.data(), turn_real_.data(), turn_imaginary_.data(), real.data(),
                   imaginary.data(), squares_.data(), padded);
    sum_shapes(shapes_.front().data(), real.data(), imaginary.data(), padded, tone.data() + at);
  }
  if (noise_level_ > silence) add_noise(tone.data());
  envelope_.add_shaped(tone.data(), left, right);
  constexpr int blocks_between_checks = 8;
  if (++blocks_ % blocks_between_checks == 0) drop_silent_partials();
  active_ = count_ > 0 && !(released() && envelope_.level() * strongest_ < silence);
}

void ModalVoice::drop_silent_partials() noexcept {
  float largest = 0;
  for (std::size_t p = 0; p < count_; ++p) largest = std::max(largest, squares_[p]);
  strongest_ = std::sqrt(largest);
  for (std::size_t p = 0; p < count_;) {
    if (squares_[p] >= silence * silence) {
      ++p;
      continue;
    }
    --count_;
    squares_[p] = squares_[count_];
    real_[p] = real_[count_];
    imaginary_[p] = imaginary_[count_];
    turn_real_[p] = turn_real_[count_];
    turn_imaginary_[p] = turn_imaginary_[count_];
    if (p != count_) shapes_[p] = shapes_[count_];
    real_[count_] = imaginary_[count_] = 0;
  }
}

void ModalVoice::add_noise(float* tone) noexcept {
  float state = noise_state_;
  float low = noise_low_state_;
  float level = noise_level_;
  for (std::size_t i = 0; i < block_frames; ++i) {
    state += noise_smoothing_ * (noise_.next() - state);
    low += noise_low_smoothing_ * (state - low);
    tone[i] += (state - low) * level;
    level *= noise_decay_;
  }
  noise_state_ = state;
  noise_low_state_ = low;
  noise_level_ = level;
}

}  // namespace romanesca
