#include "synth/sound/performance.h"

#include <algorithm>
#include <cmath>

namespace romanesca {

TempoMap::TempoMap(double quarters_per_minute) : tempos_{{Beats(0), 0, std::clamp(quarters_per_minute, 1.0, 2000.0)}} {}

void TempoMap::change(Beats at, double quarters_per_minute) {
  const double seconds = seconds_at(at);
  if (tempos_.back().at == at) tempos_.pop_back();
  tempos_.push_back({at, seconds, std::clamp(quarters_per_minute, 1.0, 2000.0)});
}

double TempoMap::seconds_at(Beats position) const noexcept {
  auto after = std::upper_bound(tempos_.begin(), tempos_.end(), position,
                                [](Beats value, const Tempo& tempo) { return value < tempo.at; });
  const Tempo& tempo = after == tempos_.begin() ? tempos_.front() : *(after - 1);
  return tempo.seconds + (position - tempo.at).quarters() * 60.0 / tempo.quarters_per_minute;
}

std::int64_t TempoMap::frame_at(Beats position, double sample_rate_hz) const noexcept {
  return std::llround(seconds_at(position) * sample_rate_hz);
}

}  // namespace romanesca
