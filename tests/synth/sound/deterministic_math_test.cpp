#include "synth/sound/deterministic_math.h"

#include <gtest/gtest.h>

#include <cmath>

namespace romanesca {
namespace {

// Against the standard library of this machine, which is right to the last bit or the one before.
TEST(DeterministicMath, AgreesWithTheStandardLibrary) {
  for (double x = -40; x <= 40; x += 0.137) {
    EXPECT_NEAR(exp2_of(x) / std::exp2(x), 1, 1e-15) << x;
    EXPECT_NEAR(exp_of(x) / std::exp(x), 1, 1e-14) << x;
    EXPECT_NEAR(log2_of(std::exp2(x)), x, 1e-14 * (1 + std::abs(x))) << x;
    EXPECT_NEAR(rotation_of(x).cosine, std::cos(2 * M_PI * x), 1e-13) << x;
    EXPECT_NEAR(rotation_of(x).sine, std::sin(2 * M_PI * x), 1e-13) << x;
    EXPECT_NEAR(db_from_linear(linear_from_db(x)), x, 1e-12) << x;
  }
  EXPECT_EQ(power(0, 2), 0);
  EXPECT_NEAR(power(3, 2.5), std::pow(3, 2.5), 1e-13);
}

TEST(DeterministicMath, ExactWhereItMatters) {
  EXPECT_EQ(exp2_of(3), 8);
  EXPECT_EQ(log2_of(8), 3);
  EXPECT_EQ(rotation_of(0.25).cosine, 0);
  EXPECT_EQ(rotation_of(0.25).sine, 1);
}

TEST(DeterministicMath, SineOfTurns) {
  for (float turns = 0; turns < 9; turns += 0.0011f) {
    EXPECT_NEAR(sine_of_turns(turns), std::sin(2 * M_PI * static_cast<double>(turns)), 1.2e-5) << turns;
  }
}

TEST(DeterministicMath, DecaysFallBySixtyDecibels) {
  EXPECT_NEAR(20 * std::log10(std::pow(decay_per_frame(0.5, 48000), 24000)), -60, 1e-6);
  EXPECT_NEAR(std::pow(time_constant_decay(0.5, 48000), 24000), std::exp(-1), 1e-9);
}

}  // namespace
}  // namespace romanesca
