#include "synth/live/timing_stats.h"

#include <algorithm>
#include <cmath>

namespace romanesca {

void TimingStats::add(std::int64_t ns) noexcept {
  const std::int64_t late = std::max<std::int64_t>(ns, 0);
  const double octave = std::log2(static_cast<double>(late) + 1);
  const auto bin = std::min(static_cast<std::size_t>(octave * steps_per_octave), counts_.size() - 1);
  counts_[bin].fetch_add(1, std::memory_order_relaxed);
  if (late > late_ns) late_.fetch_add(1, std::memory_order_relaxed);
  if (late > max_.load(std::memory_order_relaxed)) max_.store(late, std::memory_order_relaxed);
}

TimingStats::Summary TimingStats::summary() const noexcept {
  Summary summary;
  for (const auto& count : counts_) summary.events += count.load(std::memory_order_relaxed);
  summary.late = late_.load(std::memory_order_relaxed);
  summary.max_ms = static_cast<double>(max_.load(std::memory_order_relaxed)) / 1e6;
  const auto quantile = [&](double share) {
    const auto wanted = static_cast<std::uint64_t>(std::ceil(share * static_cast<double>(summary.events)));
    std::uint64_t seen = 0;
    for (std::size_t bin = 0; bin < counts_.size(); ++bin) {
      seen += counts_[bin].load(std::memory_order_relaxed);
      if (seen >= wanted && seen > 0) {
        const double upper_ns = std::exp2(static_cast<double>(bin + 1) / steps_per_octave) - 1;
        return std::min(upper_ns / 1e6, summary.max_ms);
      }
    }
    return 0.0;
  };
  summary.p50_ms = quantile(0.50);
  summary.p99_ms = quantile(0.99);
  return summary;
}

}  // namespace romanesca
