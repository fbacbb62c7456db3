#include "synth/sound/limiter.h"

#include <ebur128.h>
#include <gtest/gtest.h>

#include <cmath>

#include "synth/files/true_peak_meter.h"
#include "tests/measure/sound_meter.h"

namespace romanesca {
namespace {

constexpr std::size_t second = 750 * block_frames;

TEST(Limiter, NoSampleAndNoTruePeakAboveTheCeiling) {
  const float ceiling = 0.7f;
  Limiter limiter(48000, ceiling);
  EburPeakMeter meter(48000);
  std::vector<float> left(second), right(second);
  for (std::size_t i = 0; i < left.size(); ++i) {
    // A difficult one: a quarter of the rate with its peaks between the samples, in bursts.
    const double burst = (i / 4800) % 2 == 0 ? 1.8 : 0.3;
    left[i] = static_cast<float>(burst * std::sin(2 * M_PI * 0.25 * static_cast<double>(i) + M_PI / 4));
    right[i] = static_cast<float>(burst * std::sin(2 * M_PI * 0.013 * static_cast<double>(i)));
  }
  limiter.process({left.data(), right.data(), left.size()});
  meter.add({left.data(), right.data(), left.size()});
  EXPECT_LT(limiter.lowest_gain(), 0.5f);
  EXPECT_LE(test::peak(left), ceiling * 1.0001f);
  EXPECT_LE(meter.true_peak_dbtp(), 20 * std::log10(static_cast<double>(ceiling)) + 0.1);
}

// Two equal samples with a peak between them: both are reduced as much as the peak requires.
TEST(Limiter, APeakBetweenTwoSamplesConcernsBoth) {
  const float ceiling = 0.5f;
  Limiter limiter(48000, ceiling);
  std::vector<float> left(8 * block_frames), right(left.size());
  constexpr std::size_t at = 4 * block_frames + 11;
  left[at] = left[at + 1] = 1.2f;
  limiter.process({left.data(), right.data(), left.size()});
  EXPECT_LT(left[at + Limiter::delay], 0.4f);
  EXPECT_NEAR(left[at + Limiter::delay], left[at + 1 + Limiter::delay], 1e-4);
}

TEST(Limiter, LeavesQuietSoundAlone) {
  Limiter limiter(48000, 0.9f);
  std::vector<float> left(75 * block_frames), right(left.size());
  for (std::size_t i = 0; i < left.size(); ++i) left[i] = right[i] = 0.3f * std::sin(0.05f * static_cast<float>(i));
  const std::vector<float> before = left;
  limiter.process({left.data(), right.data(), left.size()});
  EXPECT_EQ(limiter.lowest_gain(), 1.0f);
  for (std::size_t i = 0; i + Limiter::delay < left.size(); ++i) EXPECT_EQ(left[i + Limiter::delay], before[i]);
}

TEST(Limiter, ComesBackToGainOne) {
  Limiter limiter(48000, 0.5f);
  std::vector<float> left(4 * second), right(left.size());
  for (std::size_t i = 0; i < left.size(); ++i) {
    const float level = i > 4800 && i < 9600 ? 0.95f : 0.2f;
    left[i] = right[i] = level * std::sin(0.05f * static_cast<float>(i));
  }
  const std::vector<float> before = left;
  limiter.process({left.data(), right.data(), left.size()});
  EXPECT_LT(limiter.lowest_gain(), 0.6f);
  for (std::size_t i = 3 * second; i < left.size(); ++i) ASSERT_EQ(left[i], before[i - Limiter::delay]) << i;
}

TEST(Limiter, TheGainMovesWithoutSteps) {
  Limiter limiter(48000, 0.5f);
  std::vector<float> left(second, 0.4f), right(second, 0.4f);
  left[20000] = right[20000] = 1.0f;
  limiter.process({left.data(), right.data(), left.size()});
  for (std::size_t i = 1000; i + 1 < left.size(); ++i) {
    if (i + 2 > 20000 + Limiter::delay && i < 20002 + Limiter::delay) continue;
    ASSERT_LT(std::abs(left[i + 1] - left[i]), 0.004f) << i;
  }
}

// Only blocks that can hold the highest peak are measured by the library; the result is that of measuring all of them.
TEST(TruePeak, IsThatOfTheWholeSound) {
  for (const double rate : {44100.0, 48000.0, 96000.0}) {
    EburPeakMeter meter(rate);
    std::unique_ptr<ebur128_state, void (*)(ebur128_state*)> whole(
        ebur128_init(2, static_cast<unsigned long>(rate), EBUR128_MODE_TRUE_PEAK),
        [](ebur128_state* state) { ebur128_destroy(&state); });
    std::vector<float> left(60000), right(60000), both(120000);
    std::uint32_t noise = 7;
    for (std::size_t i = 0; i < left.size(); ++i) {
      noise = noise * 1664525U + 1013904223U;
      const float level = 0.2f + 0.15f * std::sin(0.0003f * static_cast<float>(i));
      left[i] = level * (static_cast<float>(noise >> 8U) / 8388608.0f - 1);
      right[i] = level * std::sin(1.57f * static_cast<float>(i) + 0.7f);
      both[2 * i] = left[i];
      both[2 * i + 1] = right[i];
    }
    for (std::size_t at = 0; at < left.size(); at += 1000) meter.add({left.data() + at, right.data() + at, 1000});
    ebur128_add_frames_float(whole.get(), both.data(), left.size());
    double of_left = 0;
    double of_right = 0;
    ebur128_true_peak(whole.get(), 0, &of_left);
    ebur128_true_peak(whole.get(), 1, &of_right);
    EXPECT_NEAR(meter.true_peak_dbtp(), 20 * std::log10(std::max(of_left, of_right)), 1e-6) << rate;
  }
}

}  // namespace
}  // namespace romanesca
