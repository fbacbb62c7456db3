#include "synth/sound/reverb.h"

#include <algorithm>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

// Lengths without a common factor, in frames at 48 kHz: 23 to 55 ms.
constexpr std::array<int, 8> lengths_48k{1123, 1321, 1559, 1747, 1949, 2161, 2411, 2633};
constexpr std::array<int, 2> allpasses_48k{241, 397};
constexpr double predelay_s = 0.012;
constexpr double decay_s = 1.4;
constexpr double damped_hz = 6000;  // where 40 ms of a line lose this much more:
constexpr double damped_db = 1.9;
constexpr float allpass_gain = 0.6f;
constexpr float quiet_peak = 1e-6f;  // -120 dB

using ReverbBlock = std::array<float, block_frames>;

std::size_t frames_of(int at_48k, double sample_rate_hz) {
  const auto length = static_cast<std::size_t>(std::floor(at_48k * sample_rate_hz / 48000 + 0.5));
  return std::max(length, block_frames + 2);
}

ROMANESCA_VECTOR_CLONES
void damp(const float* __restrict past, float middle, float side, float* __restrict out, float* __restrict sum) {
  for (std::size_t i = 0; i < block_frames; ++i) {
    out[i] = middle * past[i + 1] + side * (past[i] + past[i + 2]);
    sum[i] += out[i];
  }
}

/// y = x delayed + g (x - y delayed), with x - g y kept in the line.
ROMANESCA_VECTOR_CLONES
void allpass(const float* __restrict delayed, float* __restrict through, float* __restrict kept) {
  for (std::size_t i = 0; i < block_frames; ++i) {
    kept[i] = through[i] - allpass_gain * delayed[i];
    through[i] = delayed[i] + allpass_gain * kept[i];
  }
}

ROMANESCA_VECTOR_CLONES
void feed_back(const float* __restrict line, const float* __restrict sum, const float* __restrict in,
               float* __restrict back) {
  for (std::size_t i = 0; i < block_frames; ++i) back[i] = line[i] - 0.25f * sum[i] + in[i];
}

ROMANESCA_VECTOR_CLONES
void add_ends(const ReverbBlock* __restrict ends, float* __restrict left, float* __restrict right) {
  for (std::size_t i = 0; i < block_frames; ++i) {
    left[i] += 0.5f * ((ends[0][i] - ends[2][i]) + (ends[4][i] - ends[6][i]));
    right[i] += 0.5f * ((ends[1][i] - ends[3][i]) + (ends[5][i] - ends[7][i]));
  }
}

}  // namespace

Reverb::Reverb(double sample_rate_hz)
    : predelay_(static_cast<std::size_t>(predelay_s * sample_rate_hz)),
      predelay_frames_(static_cast<std::size_t>(predelay_s * sample_rate_hz)) {
  for (const int at_48k : lengths_48k) {
    const std::size_t delay = frames_of(at_48k, sample_rate_hz);
    const double seconds = static_cast<double>(delay) / sample_rate_hz;
    const double gain = linear_from_db(-60 * seconds / decay_s);
    // Taps side, 1 - 2 side, side: gain 1 for the bass and 1 - 2 side (1 - cos w) at w; at most 1/4, for a low rate.
    const Rotation w = rotation_of(std::min(damped_hz / sample_rate_hz, 0.5));
    const double loss = 1 - linear_from_db(-damped_db * seconds / 0.04);
    const double side = std::min(0.25, loss / (2 * (1 - w.cosine)));
    lines_.push_back(
        {BlockRing(delay + 2), delay, static_cast<float>(gain * (1 - 2 * side)), static_cast<float>(gain * side)});
    longest_frames_ = std::max(longest_frames_, delay);
  }
  for (const int at_48k : allpasses_48k) {
    const std::size_t delay = frames_of(at_48k, sample_rate_hz);
    allpasses_.push_back({BlockRing(delay), delay});
  }
  longest_frames_ += predelay_frames_ + 2 * block_frames;
}

void Reverb::clear() noexcept {
  for (Line& line : lines_) line.past.clear();
  for (Allpass& each : allpasses_) each.past.clear();
  predelay_.clear();
  silent_ = true;
  quiet_frames_ = 0;
}

void Reverb::add_to(const float* in, float* left, float* right) noexcept {
  const float peak_in = absolute_peak(in, block_frames);
  if (silent_ && peak_in == 0) return;
  silent_ = false;

  alignas(64) ReverbBlock through;
  alignas(64) std::array<float, block_frames + 2> room;
  std::copy_n(in, block_frames, predelay_.next());
  predelay_.written();
  std::copy_n(predelay_.read(predelay_frames_ + block_frames, block_frames, room.data()), block_frames, through.data());
  for (Allpass& each : allpasses_) {
    allpass(each.past.read(each.delay, block_frames, room.data()), through.data(), each.past.next());
    each.past.written();
  }

  // Every line is longer than a block, so all lines can be read before any is written.
  alignas(64) std::array<ReverbBlock, line_count> ends;
  alignas(64) ReverbBlock sum{};
  for (std::size_t k = 0; k < line_count; ++k) {
    const Line& line = lines_[k];
    const float* past = line.past.read(line.delay + 1, block_frames + 2, room.data());
    damp(past, line.middle, line.side, ends[k].data(), sum.data());
  }
  add_ends(ends.data(), left, right);
  for (std::size_t k = 0; k < line_count; ++k) {
    feed_back(ends[k].data(), sum.data(), through.data(), lines_[k].past.next());
    lines_[k].past.written();
  }
  float peak_out = std::max(absolute_peak(through.data(), block_frames), absolute_peak(sum.data(), block_frames));
  if (peak_in < quiet_peak && peak_out < quiet_peak) {
    for (const ReverbBlock& end : ends) peak_out = std::max(peak_out, absolute_peak(end.data(), block_frames));
  }
  quiet_frames_ = peak_in < quiet_peak && peak_out < quiet_peak ? quiet_frames_ + block_frames : 0;
  if (quiet_frames_ > longest_frames_) clear();
}

}  // namespace romanesca
