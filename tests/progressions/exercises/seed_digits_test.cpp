#include "progressions/exercises/seed_digits.h"

#include <gtest/gtest.h>

#include <array>
#include <set>
#include <vector>

namespace romanesca {
namespace {

// As many seeds in a row as there are combinations give each of them once, wherever they begin.
TEST(SeedDigits, SeedsInARowUseUpAllCombinations) {
  for (const std::uint64_t from : {std::uint64_t{0}, std::uint64_t{1}, std::uint64_t{123456789}}) {
    for (const std::array<std::size_t, 3> counts : {std::array<std::size_t, 3>{7, 3, 5}, {2, 2, 2}, {24, 12, 1}}) {
      const std::size_t all = counts[0] * counts[1] * counts[2];
      std::set<std::vector<std::size_t>> seen;
      for (std::uint64_t seed = from; seed < from + all; ++seed) {
        SeedDigits variation(seed, 42);
        std::vector<std::size_t> digits;
        for (const std::size_t count : counts) digits.push_back(variation.pick(count));
        for (std::size_t i = 0; i < counts.size(); ++i) ASSERT_LT(digits[i], counts[i]);
        seen.insert(digits);
      }
      EXPECT_EQ(seen.size(), all);
    }
  }
}

// The second choice moves too while the first goes round.
TEST(SeedDigits, LaterChoicesDoNotStandStill) {
  std::set<std::size_t> second;
  for (std::uint64_t seed = 0; seed < 24; ++seed) {
    SeedDigits variation(seed, 7);
    static_cast<void>(variation.pick(24));
    second.insert(variation.pick(12));
  }
  EXPECT_GE(second.size(), 8U);
}

// The same numbers on every machine, reckoned again in another language; changed, they would change every exercise that
// a teacher has written down.
TEST(SeedDigits, FixedNumbers) {
  SeedDigits variation(2026, 1);
  std::vector<std::size_t> digits;
  for (const std::size_t count : {std::size_t{24}, std::size_t{12}, std::size_t{5}, std::size_t{100}, std::size_t{3}}) {
    digits.push_back(variation.pick(count));
  }
  EXPECT_EQ(digits, (std::vector<std::size_t>{6, 1, 4, 4, 2}));
}

}  // namespace
}  // namespace romanesca
