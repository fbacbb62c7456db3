#include "theory/notes/meter_map.h"

#include <gtest/gtest.h>

namespace romanesca {
namespace {

TEST(MeterMap, BarsBeginWhereTheOnesBeforeEnd) {
  MeterMap meters(Meter{4, 4});
  meters.change(3, {6, 8});
  meters.change(5, {4, 4});
  EXPECT_EQ(meters.start_of(1), Beats(0));
  EXPECT_EQ(meters.start_of(3), Beats(8));
  EXPECT_EQ(meters.start_of(4), Beats(11));
  EXPECT_EQ(meters.start_of(5), Beats(14));
  EXPECT_EQ(meters.end_of(5), Beats(18));
  EXPECT_EQ(meters.at(4), (Meter{6, 8}));
  for (int bar = 1; bar < 9; ++bar) {
    EXPECT_EQ(meters.bar_at(meters.start_of(bar)), bar);
    EXPECT_EQ(meters.bar_at(meters.end_of(bar) - Beats(1, 960)), bar);
  }
  EXPECT_EQ(meters.within_bar(Beats(23, 2)), Beats(1, 2));
}

TEST(MeterMap, AChangeToTheSameMeterIsNone) {
  MeterMap meters(Meter{3, 4});
  meters.change(4, {3, 4});
  EXPECT_TRUE(meters.is_constant());
  meters.change(4, {2, 4});
  meters.change(4, {3, 4});
  EXPECT_TRUE(meters.is_constant());
  meters.change(1, {5, 4});
  EXPECT_EQ(meters.first(), (Meter{5, 4}));
}

}  // namespace
}  // namespace romanesca
