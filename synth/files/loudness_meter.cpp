#include "synth/files/loudness_meter.h"

#include <ebur128.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <new>
#include <vector>

namespace romanesca {
namespace {

/// Frames around a sample that the library's interpolator knows: 49 taps at four times the rate.
constexpr std::size_t context = 13;
/// The sum of the absolute taps for one output of that interpolator (a sinc under a Hann window) is 1.8642 at the most.
constexpr float largest_gain = 1.87f;

struct Destroy {
  void operator()(ebur128_state* state) const { ebur128_destroy(&state); }
};
using Meter = std::unique_ptr<ebur128_state, Destroy>;

Meter make_meter(double sample_rate_hz, int mode) {
  Meter meter(ebur128_init(2, static_cast<unsigned long>(std::lround(sample_rate_hz)), mode));
  if (meter == nullptr) throw std::bad_alloc();
  return meter;
}

}  // namespace

struct EburMeter::State {
  Meter loudness, peaks;
  double highest = 0;
  std::vector<float> interleaved = std::vector<float>(2 * context, 0.0f);  ///< with what came before in front

  void look_for_peak(std::size_t first_frame, std::size_t frames) {
    // What came before only fills the interpolator.
    ebur128_add_frames_float(peaks.get(), interleaved.data() + 2 * (first_frame - context), context);
    ebur128_add_frames_float(peaks.get(), interleaved.data() + 2 * first_frame, frames);
    for (unsigned channel = 0; channel < 2; ++channel) {
      double peak = 0;
      if (ebur128_prev_true_peak(peaks.get(), channel, &peak) == EBUR128_SUCCESS) highest = std::max(highest, peak);
    }
  }
};

EburMeter::EburMeter(double sample_rate_hz) : state_(std::make_unique<State>()) {
  // The histogram keeps memory constant however long the track is.
  state_->loudness = make_meter(sample_rate_hz, EBUR128_MODE_I | EBUR128_MODE_HISTOGRAM);
  state_->peaks = make_meter(sample_rate_hz, EBUR128_MODE_TRUE_PEAK);
}

EburMeter::~EburMeter() = default;

void EburMeter::add(const StereoBlock& block) {
  std::vector<float>& all = state_->interleaved;
  all.resize(2 * (context + block.frames));
  float* out = all.data() + 2 * context;
  for (std::size_t i = 0; i < block.frames; ++i) {
    out[2 * i] = block.left[i];
    out[2 * i + 1] = block.right[i];
  }
  if (ebur128_add_frames_float(state_->loudness.get(), out, block.frames) != EBUR128_SUCCESS) throw std::bad_alloc();
  for (std::size_t at = 0; at < block.frames; at += slice_frames) {
    const std::size_t frames = std::min(slice_frames, block.frames - at);
    float loudest = 0;
    const float* seen = all.data() + 2 * at;
    for (std::size_t i = 0; i < 2 * (frames + context); ++i) loudest = std::max(loudest, std::abs(seen[i]));
    if (static_cast<double>(loudest * largest_gain) > state_->highest) state_->look_for_peak(context + at, frames);
  }
  std::copy(all.end() - 2 * static_cast<std::ptrdiff_t>(context), all.end(), all.begin());
}

double EburMeter::integrated_lufs() {
  double lufs = 0;
  ebur128_loudness_global(state_->loudness.get(), &lufs);
  return lufs;
}

double EburMeter::true_peak_dbtp() {
  return state_->highest > 0 ? 20 * std::log10(state_->highest) : -std::numeric_limits<double>::infinity();
}

}  // namespace romanesca
