#include "synth/files/true_peak_meter.h"

#include <ebur128.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <new>
#include <vector>

#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

/// Frames around a sample that the library's interpolator uses: 49 taps at four times the rate; from 96 kHz on, at
/// twice.
constexpr std::size_t context = 25;

/// The sum of the absolute taps for one output of that interpolator, a sinc under a Hann window.
float largest_gain(double sample_rate_hz) { return sample_rate_hz < 96000 ? 1.865f : 2.307f; }

struct Destroy {
  void operator()(ebur128_state* state) const { ebur128_destroy(&state); }
};
using LibraryMeter = std::unique_ptr<ebur128_state, Destroy>;

LibraryMeter make_meter(double sample_rate_hz, int mode) {
  LibraryMeter meter(ebur128_init(2, static_cast<unsigned long>(std::lround(sample_rate_hz)), mode));
  if (meter == nullptr) throw std::bad_alloc();
  return meter;
}

}  // namespace

struct EburPeakMeter::State {
  LibraryMeter peaks;
  double highest = 0;
  float gain_bound = 2;
  std::vector<float> interleaved =
      std::vector<float>(2 * context, 0.0f);  ///< preceded by the last frames of the block before

  void measure(std::size_t first_frame, std::size_t frames) {
    // The frames before only fill the interpolator.
    ebur128_add_frames_float(peaks.get(), interleaved.data() + 2 * (first_frame - context), context);
    ebur128_add_frames_float(peaks.get(), interleaved.data() + 2 * first_frame, frames);
    for (unsigned channel = 0; channel < 2; ++channel) {
      double peak = 0;
      if (ebur128_prev_true_peak(peaks.get(), channel, &peak) == EBUR128_SUCCESS) highest = std::max(highest, peak);
    }
  }
};

EburPeakMeter::EburPeakMeter(double sample_rate_hz) : state_(std::make_unique<State>()) {
  state_->gain_bound = largest_gain(sample_rate_hz);
  state_->peaks = make_meter(sample_rate_hz, EBUR128_MODE_TRUE_PEAK);
}

EburPeakMeter::~EburPeakMeter() = default;

void EburPeakMeter::add(const StereoBlock& block) {
  std::vector<float>& all = state_->interleaved;
  all.resize(2 * (context + block.frames));
  float* out = all.data() + 2 * context;
  for (std::size_t i = 0; i < block.frames; ++i) {
    out[2 * i] = block.left[i];
    out[2 * i + 1] = block.right[i];
  }
  for (std::size_t at = 0; at < block.frames; at += block_frames) {
    const std::size_t frames = std::min(block_frames, block.frames - at);
    const float highest_sample = absolute_peak(all.data() + 2 * at, 2 * (frames + context));
    const auto highest = static_cast<float>(state_->highest);
    if (highest_sample * state_->gain_bound <= highest) continue;
    state_->measure(context + at, frames);
  }
  std::copy(all.end() - 2 * static_cast<std::ptrdiff_t>(context), all.end(), all.begin());
}

double EburPeakMeter::true_peak_dbtp() {
  return state_->highest > 0 ? 20 * std::log10(state_->highest) : -std::numeric_limits<double>::infinity();
}

}  // namespace romanesca
