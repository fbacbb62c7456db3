#include "cli/formats/paper/chart_form.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "cli/formats/paper/chart_rows.h"
#include "cli/formats/paper/chart_staves.h"
#include "page_geometry.h"
#include "paper_songs.h"

namespace romanesca {
namespace {

/// A verse with a repeat and two endings, then a chorus three times, in another key, meter and tempo.
std::vector<ChartBar> bars_with_form(const Placement& piece, const Hands& hands) {
  std::vector<ChartBar> bars = chart_bars(piece, hands, {});
  bars[0].start_repeat = true;
  bars[0].remark = "quietly";
  for (const std::size_t i : {2U, 3U, 4U, 5U}) bars[i].in_ending = true;
  bars[2].ending = "1.";
  bars[3].ending_closes = true;
  bars[3].end_repeat = 2;
  bars[4].ending = "2.";
  bars[5].section_ends = true;
  bars[6].start_repeat = true;
  bars[6].key = Key{PitchClass::of(3, 0), Mode::major};
  bars[6].meter = Meter{3, 4};
  bars[6].tempo_bpm = 120;
  bars[9].end_repeat = 3;
  bars[9].after = "3 times";
  return bars;
}

const char* const form_song =
    "key: D\n[Verse]\n| D | A7 | Bm7 | A7sus4 A7 | A#dim7 | Bm7 |\n[Chorus]\n| F | C7/E | Gm7 | F |\n| Bb | F/A | C7 | "
    "F |\n";

TEST(ChartForm, RowsFollowSectionsKeysAndEndings) {
  const Placement piece = placed_song(form_song);
  const Hands hands = hands_for(piece.analysis.timeline);
  const std::vector<ChartRow> rows = chart_rows(bars_with_form(piece, hands), 4);
  ASSERT_EQ(rows.size(), 4U);
  EXPECT_EQ(rows[0].count, 4U);
  // The second ending stands under the first one.
  EXPECT_EQ(rows[1].first, 4U);
  EXPECT_EQ(rows[1].count, 2U);
  EXPECT_EQ(rows[1].column, 2U);
  EXPECT_EQ(rows[2].first, 6U);
  EXPECT_EQ(rows[2].column, 0U);
}

std::ptrdiff_t count_of(const Drawing& drawing, MarkKind kind) {
  std::ptrdiff_t count = 0;
  for (const Page& page : drawing.pages) {
    count += std::count_if(page.marks.begin(), page.marks.end(), [&](const Mark& mark) { return mark.kind == kind; });
  }
  return count;
}

bool has_text(const Drawing& drawing, const std::string& words) {
  for (const Page& page : drawing.pages) {
    for (const Mark& mark : page.marks) {
      const auto* text = std::get_if<TextMark>(&mark.shape);
      if (text != nullptr && text->text == words) return true;
    }
  }
  return false;
}

TEST(ChartForm, SignsOfTheFormAreSetOverRowsAndStaves) {
  const Placement piece = placed_song(form_song);
  const Hands hands = hands_for(piece.analysis.timeline);
  for (const StaffKind staves : {StaffKind::none, StaffKind::grand, StaffKind::slashes}) {
    for (const bool large : {false, true}) {
      PaperSettings paper;
      paper.staves = staves;
      paper.large = large;
      Drawing drawing;
      PageFlow flow(drawing, paper);
      flow.down(30);
      const std::vector<ChartBar> bars = bars_with_form(piece, hands);
      if (staves == StaffKind::none) {
        ChartRowSetter(flow, piece, bars, {}).set();
      } else {
        put_chart_staves(flow, piece, hands, bars);
      }
      for (const Page& page : drawing.pages) {
        for (const std::string& fault : page_faults(page))
          ADD_FAILURE() << static_cast<int>(staves) << large << ": " << fault;
      }
      EXPECT_GE(count_of(drawing, MarkKind::ending), 5);
      for (const char* words : {"1.", "2.", "3 times", "\u2669 = 120"}) EXPECT_TRUE(has_text(drawing, words)) << words;
    }
  }
}

TEST(ChartForm, ALoopHasRepeatSigns) {
  const Placement piece = placed_song("| C | Am | F | G |");
  Hands hands = hands_for(piece.analysis.timeline);
  EXPECT_EQ(count_of(chart_drawing(piece, hands, {}), MarkKind::bar_line),
            4 + 2);  // the last line is a thin and a thick one
  hands.loops = true;
  EXPECT_EQ(count_of(chart_drawing(piece, hands, {}), MarkKind::bar_line),
            3 + 4 + 4);  // two lines and two dots at each end
}

}  // namespace
}  // namespace romanesca
