#include "theory/listening/playing_report.h"

#include <gtest/gtest.h>

#include <sstream>

namespace romanesca {
namespace {

using Verdict = ChordHeard::Verdict;

ChordHeard heard(const char* chord, int bar, Verdict verdict, double late_ms = 0) {
  ChordHeard one;
  one.asked = {*parse_chord(chord), bar, bar * 2000.0, 2000};
  one.verdict = verdict;
  one.late_ms = late_ms;
  return one;
}

ChordHeard without(ChordHeard one, std::initializer_list<const char*> missing,
                   std::initializer_list<const char*> foreign = {}) {
  for (const char* note : missing) one.missing.push_back(parse_chord(note)->root);
  for (const char* note : foreign) one.foreign.push_back(parse_chord(note)->root);
  return one;
}

using Sentences = std::vector<std::string>;

TEST(PlayingReport, AllIsWell) {
  const std::vector<ChordHeard> all{heard("C", 1, Verdict::as_asked, 10), heard("F", 2, Verdict::as_asked, -20)};
  EXPECT_EQ(report_on(all).sentences(), (Sentences{"All 2 chords were right.", "Every chord came in time."}));
  EXPECT_EQ(report_on(all, false).sentences(), (Sentences{"All 2 chords were right."}));
}

TEST(PlayingReport, OneChordToWorkOnWithItsBars) {
  const std::vector<ChordHeard> all{heard("C", 1, Verdict::as_asked),
                                    without(heard("Dm", 3, Verdict::part_of_it), {"F"}),
                                    heard("G", 4, Verdict::as_asked),
                                    heard("C", 5, Verdict::as_asked),
                                    without(heard("Dm", 7, Verdict::part_of_it), {"F"}),
                                    without(heard("G", 8, Verdict::another), {"B"}, {"C"})};
  EXPECT_EQ(report_on(all).work_on, "Work on Dm in bars 3 and 7. F is missing there.");
}

TEST(PlayingReport, WhatToDoFitsTheTrouble) {
  const auto work = [](const ChordHeard& one) {
    return report_on(std::vector<ChordHeard>{heard("C", 1, Verdict::as_asked), one}).work_on;
  };
  EXPECT_EQ(work(without(heard("G", 8, Verdict::another), {"B"}, {"C"})), "Work on G in bar 8. Try B instead of C.");
  EXPECT_EQ(work(heard("G/B", 2, Verdict::other_bass)),
            "Work on G/B in bar 2. The notes are right; put B at the bottom.");
  EXPECT_EQ(work(heard("G", 2, Verdict::nothing)),
            "Work on G in bar 2. It was left out; play it alone a few times first.");
}

TEST(PlayingReport, LateChangesAreToldWhenTheNotesAreRight) {
  const std::vector<ChordHeard> all{heard("C", 1, Verdict::as_asked), heard("G", 2, Verdict::as_asked, 220),
                                    heard("C", 3, Verdict::as_asked), heard("G", 4, Verdict::as_asked, 180)};
  const PlayingReport report = report_on(all);
  EXPECT_EQ(report.went_well, (Sentences{"All 4 chords were right.", "2 of 4 came in time."}));
  EXPECT_EQ(
      report.work_on,
      "Work on the change to G in bars 2 and 4: it comes late by about 0.2 seconds. Move the hand on the last beat "
      "before.");
}

TEST(PlayingReport, AHardDayBeginsWithWhatWentWell) {
  const std::vector<ChordHeard> all{heard("C", 1, Verdict::as_asked), heard("F", 2, Verdict::nothing),
                                    heard("G", 3, Verdict::nothing), heard("F", 4, Verdict::nothing)};
  EXPECT_EQ(report_on(all).went_well.front(), "C was right every time.");
  EXPECT_EQ(report_on(all).work_on, "Work on F in bars 2 and 4. It was left out; play it alone a few times first.");
}

TEST(PlayingReport, NothingHeardAsksForThePort) {
  const Sentences asks{"Nothing was heard from the keyboard. Is it the right port, and is it switched on?"};
  EXPECT_EQ(report_on({}).sentences(), asks);
  EXPECT_EQ(report_on(std::vector<ChordHeard>{heard("C", 1, Verdict::nothing)}).sentences(), asks);
}

/// Sentences stay short, and there is never a mark, a score or a percentage.
TEST(PlayingReport, IsShortAndNoMark) {
  std::vector<ChordHeard> all;
  for (int bar = 1; bar <= 40; ++bar) {
    all.push_back(without(
        heard(bar % 3 == 0 ? "Bbm7b5" : "F#m7", bar, bar % 2 == 0 ? Verdict::another : Verdict::as_asked, bar * 10.0),
        {"E", "G#"}, {"F"}));
    for (const std::string& text : report_on(all).sentences()) {
      EXPECT_EQ(text.find('%'), text.npos);
      std::istringstream words(text);
      int count = 0;
      for (std::string word; words >> word;) count = word.ends_with('.') || word.ends_with('?') ? 0 : count + 1;
      EXPECT_LT(count, 24) << text;
    }
    EXPECT_LE(report_on(all).sentences().size(), 4U);
  }
}

}  // namespace
}  // namespace romanesca
