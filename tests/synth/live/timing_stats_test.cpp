#include "synth/live/timing_stats.h"

#include <gtest/gtest.h>

namespace romanesca {
namespace {

TEST(TimingStats, ReportsMedianTailAndMaximum) {
  TimingStats lateness;
  for (int i = 1; i <= 1000; ++i) lateness.add(i * 1000);  // 1 to 1000 microseconds
  lateness.add(5'000'000);
  const TimingStats::Summary summary = lateness.summary();
  EXPECT_EQ(summary.events, 1001U);
  EXPECT_EQ(summary.late, 1U);
  EXPECT_NEAR(summary.p50_ms, 0.5, 0.5 * 0.06);
  EXPECT_NEAR(summary.p99_ms, 0.99, 0.99 * 0.06);
  EXPECT_DOUBLE_EQ(summary.max_ms, 5.0);
}

TEST(TimingStats, EarlyCountsAsOnTimeAndEmptyAsZero) {
  TimingStats lateness;
  EXPECT_EQ(lateness.summary().events, 0U);
  EXPECT_EQ(lateness.summary().p99_ms, 0);
  lateness.add(-100);
  EXPECT_EQ(lateness.summary().p50_ms, 0);
}

TEST(TimingStats, HandlesTheLongestTimes) {
  TimingStats lateness;
  lateness.add(INT64_MAX);
  EXPECT_EQ(lateness.summary().events, 1U);
  EXPECT_EQ(lateness.summary().late, 1U);
}

}  // namespace
}  // namespace romanesca
