#include "synth/files/loudness_meter.h"

#include <ebur128.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace romanesca {

struct EburMeter::State {
  unsigned long sample_rate_hz = 48000;
  ebur128_state* meter = nullptr;
  std::vector<float> interleaved;
};

EburMeter::EburMeter(double sample_rate_hz) : state_(std::make_unique<State>()) {
  state_->sample_rate_hz = static_cast<unsigned long>(std::lround(sample_rate_hz));
  reset(true);
}

EburMeter::~EburMeter() {
  if (state_->meter != nullptr) ebur128_destroy(&state_->meter);
}

void EburMeter::reset(bool with_true_peak) {
  if (state_->meter != nullptr) ebur128_destroy(&state_->meter);
  // The histogram keeps memory constant however long the track is.
  const int peaks = with_true_peak ? EBUR128_MODE_TRUE_PEAK : 0;
  state_->meter = ebur128_init(2, state_->sample_rate_hz, EBUR128_MODE_I | EBUR128_MODE_HISTOGRAM | peaks);
  if (state_->meter == nullptr) throw std::bad_alloc();
}

void EburMeter::add(const StereoBlock& block) {
  std::vector<float>& out = state_->interleaved;
  out.resize(2 * block.frames);
  for (std::size_t i = 0; i < block.frames; ++i) {
    out[2 * i] = block.left[i];
    out[2 * i + 1] = block.right[i];
  }
  if (ebur128_add_frames_float(state_->meter, out.data(), block.frames) != EBUR128_SUCCESS) throw std::bad_alloc();
}

double EburMeter::integrated_lufs() {
  double lufs = 0;
  ebur128_loudness_global(state_->meter, &lufs);
  return lufs;
}

double EburMeter::true_peak_dbtp() {
  double highest = 0;
  for (unsigned channel = 0; channel < 2; ++channel) {
    double peak = 0;
    if (ebur128_true_peak(state_->meter, channel, &peak) != EBUR128_SUCCESS) peak = 0;
    highest = std::max(highest, peak);
  }
  return highest > 0 ? 20 * std::log10(highest) : -std::numeric_limits<double>::infinity();
}

}  // namespace romanesca
