// The effects of the mix: reverb, swept delay, compressor, removal of offset.
#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "synth/sound/compressor.h"
#include "synth/sound/offset_remover.h"
#include "synth/sound/reverb.h"
#include "synth/sound/swept_delay.h"
#include "tests/measure/sound_meter.h"

namespace romanesca {
namespace {

std::vector<float> sine(double hz, float level, std::size_t blocks, double rate = 48000) {
  std::vector<float> samples(blocks * block_frames);
  for (std::size_t i = 0; i < samples.size(); ++i)
    samples[i] = level * static_cast<float>(std::sin(2 * M_PI * hz * static_cast<double>(i) / rate));
  return samples;
}

struct Stereo {
  std::vector<float> left, right;
};

Stereo answer_to_a_knock(double rate, std::size_t blocks) {
  Reverb reverb(rate);
  Stereo out{std::vector<float>(blocks * block_frames), std::vector<float>(blocks * block_frames)};
  std::array<float, block_frames> in{};
  in[0] = 1;
  for (std::size_t at = 0; at < out.left.size(); at += block_frames) {
    reverb.add_to(in.data(), out.left.data() + at, out.right.data() + at);
    in.fill(0);
  }
  return out;
}

// The reverb decays by 60 dB in 1 to 1.5 s at every rate, and ends in exact silence.
TEST(Reverb, DecaysAndFallsSilent) {
  for (const double rate : {44100.0, 48000.0, 96000.0}) {
    const Stereo out = answer_to_a_knock(rate, static_cast<std::size_t>(5 * rate) / block_frames);
    const auto level_at = [&](double seconds) {
      return test::level_db(std::span<const float>(out.left).subspan(static_cast<std::size_t>(seconds * rate),
                                                                     static_cast<std::size_t>(rate / 10)));
    };
    const double seconds_for_60 = 60 * 0.8 / (level_at(0.1) - level_at(0.9));
    EXPECT_GT(seconds_for_60, 0.9) << rate;
    EXPECT_LT(seconds_for_60, 1.6) << rate;
    EXPECT_EQ(test::peak(std::span<const float>(out.left).last(1000)), 0.0f) << rate;
    EXPECT_EQ(test::peak(std::span<const float>(out.left).first(static_cast<std::size_t>(0.012 * rate))), 0.0f);
  }
}

TEST(SweptDelay, FitsALoop) {
  // A period that holds 3.3 cycles: it is played with three, so the second period equals the first.
  const std::int64_t period = 100 * block_frames;
  const Sweep sweep{.cycle_hz = 3.3 * 48000 / static_cast<double>(period), .delay_s = 0.004, .depth_s = 0.0004};
  SweptDelay delay(sweep, 48000, period);
  const double hz = 48000.0 * 40 / static_cast<double>(period);
  std::vector<float> left = sine(hz, 0.5f, 300), right = left;
  for (std::size_t at = 0; at < left.size(); at += block_frames) delay.process(left.data() + at, right.data() + at);
  const auto length = static_cast<std::size_t>(period);
  for (std::size_t i = length; i < 2 * length; ++i) ASSERT_NEAR(left[i], left[i + length], 1e-5);
  EXPECT_NE(left, right);
}

TEST(SweptDelay, HasNoClicksAndEndsInSilence) {
  SweptDelay delay({}, 48000, 0);
  std::vector<float> left = sine(500, 0.5f, 1500), right = left;
  std::fill(left.begin() + 60000, left.end(), 0.0f);
  std::fill(right.begin() + 60000, right.end(), 0.0f);
  for (std::size_t at = 0; at < left.size(); at += block_frames) delay.process(left.data() + at, right.data() + at);
  // The steepest step of a sine of 500 Hz at this level, dry and wet together, with room for the sweep.
  for (std::size_t i = 2000; i < 59000; ++i)
    ASSERT_LT(std::abs(left[i] - left[i - 1]), 0.5f * 1.4f * 0.0655f * 1.05f) << i;
  EXPECT_TRUE(delay.silent());
  EXPECT_EQ(left.back(), 0.0f);
}

// Steady tones against the curve: 2 to 1 over -17 dB.
TEST(Compressor, FollowsItsCurve) {
  for (const double level_db : {-40.0, -27.0, -10.0, -5.0}) {
    Compressor compressor({}, 48000);
    std::vector<float> left = sine(1000, static_cast<float>(std::sqrt(2) * std::pow(10, level_db / 20)), 1500);
    std::vector<float> right = left;
    for (std::size_t at = 0; at < left.size(); at += block_frames)
      compressor.process(left.data() + at, right.data() + at);
    const double out_db = test::level_db(std::span<const float>(left).last(9600));
    const double wanted = level_db <= -22 ? level_db : -17 + (level_db + 17) / 2;
    EXPECT_NEAR(out_db, wanted, 0.3) << level_db;
  }
}

TEST(OffsetRemover, RemovesOffsetAndKeepsSound) {
  OffsetRemover remover(48000, 7);
  std::vector<float> samples = sine(60, 0.5f, 2000);
  for (float& sample : samples) sample += 0.1f;
  for (std::size_t at = 0; at < samples.size(); at += block_frames) remover.process(samples.data() + at);
  const std::span<const float> end = std::span<const float>(samples).last(48000);
  double sum = 0;
  for (const float sample : end) sum += static_cast<double>(sample);
  EXPECT_LT(20 * std::log10(std::abs(sum) / 48000), -80);
  EXPECT_NEAR(test::level_db(end), 20 * std::log10(0.5 / std::sqrt(2)), 0.1);
  std::vector<float> silence(200 * block_frames);
  for (int i = 0; i < 200; ++i) {
    for (std::size_t at = 0; at < silence.size(); at += block_frames) remover.process(silence.data() + at);
    std::fill(silence.begin(), silence.end(), 0.0f);
  }
  EXPECT_TRUE(remover.silent());
}

}  // namespace
}  // namespace romanesca
