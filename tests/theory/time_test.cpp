#include <gtest/gtest.h>

#include "theory/notes/meter.h"

namespace romanesca {
namespace {

static_assert(Beats(1, 2) + Beats(1, 3) == Beats(5, 6));
static_assert(Beats(2, 4) == Beats(1, 2));
static_assert(Beats(1, -2) == Beats(-1, 2));
static_assert(Beats(7, 2) > Beats(10, 3));
static_assert(Beats(4) / 24 * 24 == Beats(4));
static_assert(whole_times(Beats(7), Beats(2)) == 3);
static_assert(whole_times(Beats(-1), Beats(2)) == -1);
static_assert(Meter{6, 8}.bar_length() == Beats(3));
static_assert(Meter{6, 8}.pulse_length() == Beats(3, 2));
static_assert(Meter{3, 4}.pulses() == 3);
static_assert(Meter{12, 8}.pulses() == 4);

TEST(Beats, StayExactWhereFloatsDrift) {
  Beats sum;
  for (int i = 0; i < 30000; ++i) sum += Beats(1, 3);
  EXPECT_EQ(sum, Beats(10000));
}

TEST(Meter, NamesRoundTrip) {
  for (const Meter& meter : all_meters) EXPECT_EQ(parse_meter(to_string(meter)), meter);
  for (const char* text : {"", "4", "4/", "7/8", "4/4 ", "C", "3/8"}) EXPECT_FALSE(parse_meter(text)) << text;
}

}  // namespace
}  // namespace romanesca
