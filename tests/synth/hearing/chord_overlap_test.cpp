// The rules by which heard chords are scored, on pairs made by hand: what the rules of Harte (2010) and MIREX say of
// each pair is written beside it (from memory).
#include "tests/measure/chord_overlap.h"

#include <gtest/gtest.h>

#include <array>

namespace romanesca::test {
namespace {

constexpr std::size_t c_major = chord_class(0, ChordQuality::major), c_minor = chord_class(0, ChordQuality::minor),
                      c_seven = chord_class(0, ChordQuality::dominant_seventh),
                      c_major_seven = chord_class(0, ChordQuality::major_seventh),
                      c_minor_seven = chord_class(0, ChordQuality::minor_seventh),
                      c_diminished = chord_class(0, ChordQuality::diminished),
                      c_suspended = chord_class(0, ChordQuality::suspended_fourth),
                      g_major = chord_class(7, ChordQuality::major);

struct Pair {
  std::size_t truth, heard;
  /// Share right of root, majmin and sevenths; -1 where the truth is left out.
  double root, majmin, sevenths;
};

double share(const Overlap& overlap) { return overlap.counted_s > 0 ? overlap.right_s / overlap.counted_s : -1; }

TEST(ChordOverlap, FollowsTheRulesOnPairs) {
  const std::array pairs{
      Pair{c_major, c_major, 1, 1, 1},
      Pair{c_major, c_minor, 1, 0, 0},
      Pair{c_major, c_seven, 1, 1, 0},  // C:7 is major to majmin, another chord to sevenths
      Pair{c_seven, c_major, 1, 1, 0},
      Pair{c_major_seven, c_seven, 1, 1, 0},
      Pair{c_minor_seven, c_minor, 1, 1, 0},
      Pair{c_minor_seven, c_minor_seven, 1, 1, 1},
      Pair{c_major, g_major, 0, 0, 0},
      Pair{c_diminished, c_diminished, 1, -1, -1},  // no triad of majmin: not counted
      Pair{c_suspended, c_major, 1, -1, -1},
      Pair{c_major, c_suspended, 1, 0, 0},
      Pair{c_major, no_chord_class, 0, 0, 0},
      Pair{no_chord_class, no_chord_class, -1, 1, 1},  // silence counts where a chord could be wrong
      Pair{no_chord_class, c_major, -1, 0, 0},
  };
  for (const Pair& pair : pairs) {
    const std::vector<ChordSpan> truth{{0, 2, pair.truth, 0}}, heard{{0, 2, pair.heard, 0}};
    EXPECT_DOUBLE_EQ(share(overlap(truth, heard, OverlapRule::root)), pair.root) << pair.truth << " " << pair.heard;
    EXPECT_DOUBLE_EQ(share(overlap(truth, heard, OverlapRule::majmin)), pair.majmin) << pair.truth << " " << pair.heard;
    EXPECT_DOUBLE_EQ(share(overlap(truth, heard, OverlapRule::sevenths)), pair.sevenths)
        << pair.truth << " " << pair.heard;
  }
}

TEST(ChordOverlap, WeighsByTime) {
  const std::vector<ChordSpan> truth{{0, 3, c_major, 0}, {3, 4, g_major, 11}};
  const std::vector<ChordSpan> late{{0, 3.5, c_major, 0}, {3.5, 9, g_major, 7}};
  EXPECT_DOUBLE_EQ(overlap(truth, late, OverlapRule::majmin).percent(), 87.5);
  EXPECT_DOUBLE_EQ(overlap(truth, late, OverlapRule::bass).percent(), 75);
}

TEST(ChordOverlap, TakesAGapForNoChord) {
  const std::vector<ChordSpan> truth{{0, 1, no_chord_class, 0}, {1, 2, c_major, 0}};
  const std::vector<ChordSpan> heard{{1.25, 2, c_major, 0}};
  EXPECT_DOUBLE_EQ(overlap(truth, heard, OverlapRule::majmin).percent(), 87.5);
}

TEST(PointsF, CountsEachPointOnce) {
  EXPECT_DOUBLE_EQ(points_f({1, 2, 3, 4}, {1, 2, 3, 4}), 1);
  EXPECT_DOUBLE_EQ(points_f({1, 2, 3, 4}, {1.06, 1.94, 3.08, 4}), 0.75);  // 80 ms is too late
  EXPECT_DOUBLE_EQ(points_f({1, 2, 3, 4}, {2, 4}), 2 * 2 / 6.0);          // half the tempo
  EXPECT_DOUBLE_EQ(points_f({1}, {0.95, 1.05}), 2 / 3.0);
  EXPECT_DOUBLE_EQ(points_f({1}, {}), 0);
}

}  // namespace
}  // namespace romanesca::test
