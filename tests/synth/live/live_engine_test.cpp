#include "synth/live/live_engine.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/synth/live/recording_sink.h"

namespace romanesca {
namespace {

using test::Rig;
using test::second_ns;
using Kind = LiveCommand::Kind;
constexpr std::int64_t beat_ns = second_ns / 2;  // 120 beats a minute

std::vector<int> downs(const test::RecordingSink& sink, int part = 0) {
  std::vector<int> midi;
  for (const auto& each : sink.only("down")) {
    if (each.part == part) midi.push_back(each.midi);
  }
  return midi;
}

TEST(LiveEngine, PlaysEveryNoteWhenItIsDue) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::start);
  rig.pass(8 * second_ns - 1);
  const auto played = rig.sink.only("down");
  ASSERT_EQ(played.size(), 20U);
  std::int64_t beat = 0;
  for (const auto& note : played) {
    if (note.part != 0) continue;
    EXPECT_EQ(note.at_ns, beat * beat_ns) << beat;
    EXPECT_EQ(note.midi, 60 + beat % 12);
    ++beat;
  }
}

TEST(LiveEngine, CountsInAndThenBegins) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::start, 0, 2);
  rig.pass(4 * second_ns);
  ASSERT_EQ(rig.sink.only("Click").size(), 2U);
  ASSERT_EQ(rig.sink.only("click").size(), 6U);
  EXPECT_EQ(rig.sink.only("click").back().at_ns, 7 * beat_ns);
  EXPECT_EQ(rig.sink.only("down").front().at_ns, 8 * beat_ns);
  EXPECT_EQ(rig.sink.only("start").front().at_ns, 8 * beat_ns);
}

TEST(LiveEngine, CountInGoesOnThroughAPickUp) {
  LivePiece piece = test::test_piece();
  piece.pick_up = 3 * live_ticks;
  Rig rig(piece);
  rig.push(Kind::start, 0, 1);
  rig.pass(20 * second_ns);
  EXPECT_EQ(rig.sink.only("Click").size() + rig.sink.only("click").size(), 7U) << "and only the first time round";
}

TEST(LiveEngine, GoesRoundWithoutASeam) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece, 97);
  rig.push(Kind::start);
  rig.pass(60 * second_ns - 1000);
  const double beat = 60e9 / 97;
  std::int64_t count = 0;
  for (const auto& note : rig.sink.only("down")) {
    if (note.part != 0) continue;
    EXPECT_NEAR(static_cast<double>(note.at_ns), static_cast<double>(count) * beat, 100) << "nothing adds up";
    ++count;
  }
  EXPECT_EQ(count, 97);
}

TEST(LiveEngine, StopsAfterTheRequestedRounds) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::rounds, 3);
  rig.push(Kind::start);
  rig.pass(60 * second_ns);
  EXPECT_EQ(downs(rig.sink, 1).size(), 12U);
  EXPECT_TRUE(rig.sink.sounding().empty());
  EXPECT_EQ(rig.events().back().kind, LiveEvent::Kind::stopped);
  EXPECT_EQ(rig.engine.next_due(), LiveEngine::never);
}

TEST(LiveEngine, ATempoChangeKeepsThePosition) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::start);
  rig.pass(beat_ns + beat_ns / 4);  // a quarter of the way to the third note
  rig.push(Kind::tempo, 0, 0, 60);
  rig.pass(4 * second_ns);
  std::vector<std::int64_t> times;
  for (const auto& note : rig.sink.only("down")) {
    if (note.part == 0) times.push_back(note.at_ns);
  }
  ASSERT_GE(times.size(), 4U);
  EXPECT_EQ(times[2], beat_ns + beat_ns / 4 + 3 * (2 * beat_ns) / 4);
  EXPECT_EQ(times[3] - times[2], second_ns);
}

TEST(LiveEngine, SectionTemposAreRelativeToTheTempo) {
  LivePiece piece = test::test_piece();
  piece.tempos = {{0, 1}, {piece.start_of(2), 0.5}};
  Rig rig(piece);
  rig.push(Kind::start);
  rig.pass(30 * second_ns);
  const auto played = rig.sink.only("down");
  std::vector<std::int64_t> bars;
  for (const auto& note : played) {
    if (note.part == 1) bars.push_back(note.at_ns);
  }
  ASSERT_GE(bars.size(), 5U);
  EXPECT_EQ(bars[1] - bars[0], 4 * beat_ns);
  EXPECT_EQ(bars[3] - bars[2], 8 * beat_ns);
  EXPECT_EQ(bars[5] - bars[4], 4 * beat_ns) << "and back again in the next round";
}

TEST(LiveEngine, StopEndsEveryNoteAtOnce) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::start);
  rig.pass(beat_ns / 2);
  EXPECT_EQ(rig.sink.sounding().size(), 2U);
  rig.push(Kind::stop);
  rig.pass(1);
  EXPECT_TRUE(rig.sink.sounding().empty());
  const std::size_t before = rig.sink.played.size();
  rig.pass(10 * second_ns);
  EXPECT_EQ(rig.sink.played.size(), before);
}

TEST(LiveEngine, AnotherPieceComesAtTheBarLine) {
  const LivePiece piece = test::test_piece();
  const LivePiece higher = test::test_piece(4, 5);
  Rig rig(piece);
  rig.push(Kind::start);
  rig.pass(beat_ns);
  rig.push_piece(higher, false);
  rig.pass(4 * beat_ns);
  EXPECT_EQ(downs(rig.sink), (std::vector<int>{60, 61, 62, 63, 69, 70}));
  EXPECT_EQ(rig.sink.sounding().size(), 2U);
  const LivePiece* aside = nullptr;
  ASSERT_TRUE(rig.engine.pop_retired(aside));
  EXPECT_EQ(aside, &piece);
}

TEST(LiveEngine, AnotherPieceAtOnceKeepsThePositionAndStrikesHeldNotes) {
  const LivePiece piece = test::test_piece();
  const LivePiece higher = test::test_piece(4, 5);
  Rig rig(piece);
  rig.push(Kind::start);
  rig.pass(beat_ns + beat_ns / 2);
  rig.push_piece(higher, true);
  rig.pass(beat_ns);
  EXPECT_EQ(downs(rig.sink, 1), (std::vector<int>{48, 53}));
  EXPECT_EQ(downs(rig.sink), (std::vector<int>{60, 61, 66, 67}));
  const auto notes = rig.sink.only("down");
  EXPECT_EQ(notes.back().at_ns, 2 * beat_ns);
}

TEST(LiveEngine, APieceThatIsReplacedWhileWaitingIsRetiredUnplayed) {
  const LivePiece piece = test::test_piece();
  const LivePiece second = test::test_piece(4, 1);
  const LivePiece third = test::test_piece(4, 2);
  Rig rig(piece);
  rig.push(Kind::start);
  rig.pass(beat_ns);
  rig.push_piece(second, false);
  rig.push_piece(third, false);
  rig.pass(4 * beat_ns);
  const LivePiece* aside = nullptr;
  ASSERT_TRUE(rig.engine.pop_retired(aside));
  EXPECT_EQ(aside, &second);
  ASSERT_TRUE(rig.engine.pop_retired(aside));
  EXPECT_EQ(aside, &piece);
}

TEST(LiveEngine, MutingEndsAPartsNotesAndKeepsTheRest) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::start);
  rig.pass(beat_ns / 2);
  rig.push(Kind::mutes, 0b10);
  rig.pass(4 * beat_ns);
  EXPECT_EQ(downs(rig.sink, 1).size(), 1U);
  EXPECT_EQ(downs(rig.sink, 0).size(), 5U);
  EXPECT_FALSE(rig.sink.sounding().contains({1, 48}));
}

TEST(LiveEngine, SectionsAreLoopedAndLeft) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::loop, 2, 4);
  rig.push(Kind::start, 2);
  rig.pass(5 * 4 * beat_ns - 1);
  std::vector<int> bars;
  for (const LiveEvent& event : rig.events()) {
    if (event.kind == LiveEvent::Kind::pulse && event.pulse == 0) bars.push_back(event.bar);
  }
  EXPECT_EQ(bars, (std::vector<int>{2, 3, 2, 3, 2}));
  rig.push(Kind::loop, 0, 0);
  rig.push(Kind::go_to, 1);
  rig.pass(3 * 4 * beat_ns);
  bars.clear();
  for (const LiveEvent& event : rig.events()) {
    if (event.kind == LiveEvent::Kind::pulse && event.pulse == 0) bars.push_back(event.bar);
  }
  EXPECT_EQ(bars, (std::vector<int>{1, 2, 3}));
}

TEST(LiveEngine, WaitsForEachChordUntilItMayGo) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::wait_mode, 1);
  rig.push(Kind::start);
  rig.pass(3 * second_ns);
  EXPECT_TRUE(downs(rig.sink).empty());
  rig.push(Kind::go);
  rig.pass(4 * beat_ns - 1);
  EXPECT_EQ(downs(rig.sink).size(), 4U);
  rig.pass(3 * second_ns);
  EXPECT_EQ(downs(rig.sink).size(), 4U) << "it waits before the second bar";
  EXPECT_TRUE(rig.sink.sounding().empty());
  rig.push(Kind::go);
  rig.pass(beat_ns / 2);
  rig.push(Kind::go);  // early, for the third bar
  rig.pass(6 * beat_ns);
  EXPECT_EQ(downs(rig.sink).size(), 11U);
}

TEST(LiveEngine, ClocksAreTwentyFourToAQuarter) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::clock, 1);
  rig.push(Kind::start);
  rig.pass(16 * beat_ns - 1);
  const auto clocks = rig.sink.only("clock");
  ASSERT_EQ(clocks.size(), 16U * 24U);
  EXPECT_EQ(clocks[24].at_ns, beat_ns);
}

TEST(LiveEngine, AnotherPieceWhileItWaitsSendsNoClockTwice) {
  const LivePiece piece = test::test_piece();
  const LivePiece other = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::clock, 1);
  rig.push(Kind::wait_mode, 1);
  rig.push(Kind::start);
  rig.pass(second_ns);  // it waits for the first chord, whose clock has gone out
  rig.push_piece(other, true);
  rig.pass(second_ns);
  rig.push(Kind::go);
  rig.pass(beat_ns - 1);
  EXPECT_EQ(rig.sink.only("clock").size(), 24U);
}

TEST(LiveEngine, AfterTenHoursOfSuspendItContinuesFromItsPosition) {
  const LivePiece piece = test::test_piece();
  Rig rig(piece);
  rig.push(Kind::start);
  rig.pass(beat_ns + beat_ns / 2);
  const std::int64_t jump = 36'000 * second_ns;
  rig.now_ns += jump;
  const std::size_t before = rig.sink.played.size();
  rig.engine.run(rig.now_ns, rig.now_ns, rig.sink);
  EXPECT_LT(rig.sink.played.size() - before, 8U) << "ten hours of music are not made up for";
  rig.pass(beat_ns);
  EXPECT_EQ(downs(rig.sink), (std::vector<int>{60, 61, 62, 63}));
  const auto events = rig.events();
  EXPECT_TRUE(std::any_of(events.begin(), events.end(),
                          [](const LiveEvent& event) { return event.kind == LiveEvent::Kind::slipped; }));
}

/// Random commands and clock steps: every key pressed is released, times never decrease, and nothing sounds after a
/// stop.
TEST(LiveEngine, AnyLessonLeavesNoNoteBehind) {
  for (unsigned seed = 1; seed <= 300; ++seed) {
    std::mt19937 random(seed);
    const LivePiece piece = test::test_piece(4);
    std::vector<std::unique_ptr<LivePiece>> others;
    Rig rig(piece, 60 + static_cast<double>(random() % 200));
    for (int step = 0; step < 120; ++step) {
      const auto kind = static_cast<Kind>(random() % 12);
      if (kind == Kind::piece) {
        others.push_back(std::make_unique<LivePiece>(test::test_piece(4, static_cast<int>(random() % 12))));
        rig.push_piece(*others.back(), random() % 2 == 0, random() % 4);
      } else {
        const int number = kind == Kind::wait_mode ? static_cast<int>(random() % 2) : static_cast<int>(random() % 6);
        rig.push(kind, number, static_cast<int>(random() % 5), 40 + static_cast<double>(random() % 300));
      }
      const std::int64_t until = rig.now_ns + static_cast<std::int64_t>(random() % 700'000'000);
      rig.engine.run(rig.now_ns, rig.now_ns, rig.sink);
      while (rig.now_ns < until) {
        rig.now_ns += 1 + static_cast<std::int64_t>(random() % 90'000'000);
        rig.engine.run(rig.now_ns, rig.now_ns, rig.sink);
      }
      for (const auto& [key, count] : rig.sink.sounding()) ASSERT_EQ(count, 1) << "seed " << seed;
      ASSERT_LE(rig.engine.place(), piece.length()) << "seed " << seed;
      static_cast<void>(rig.events());
    }
    rig.push(Kind::stop);
    rig.pass(1);
    ASSERT_TRUE(rig.sink.sounding().empty()) << "seed " << seed;
    for (std::size_t i = 1; i < rig.sink.played.size(); ++i) {
      ASSERT_LE(rig.sink.played[i - 1].at_ns, rig.sink.played[i].at_ns) << "seed " << seed << " at " << i;
    }
  }
}

TEST(LiveEngine, BarsOfSeveralMetersHaveTheirOwnPulses) {
  LivePiece piece = test::test_piece();  // 16 quarters
  piece.meters = MeterMap(Meter{4, 4});
  piece.meters.change(2, {3, 4});
  piece.meters.change(4, {6, 8});
  piece.bars = 5;  // 4 + 3 + 3 + 3 + 3
  EXPECT_EQ(piece.length(), 16 * live_ticks);
  EXPECT_EQ(piece.start_of(2), 7 * live_ticks);
  EXPECT_EQ(piece.bar_at(7 * live_ticks - 1), 1);
  EXPECT_EQ(piece.tick_of(3, 1), 10 * live_ticks + live_ticks * 3 / 2);
  Rig rig(piece);
  rig.push(Kind::start);
  std::vector<std::pair<int, int>> pulses;
  rig.pass(8 * second_ns - 1);
  for (LiveEvent event; rig.engine.pop_event(event);) {
    if (event.kind == LiveEvent::Kind::pulse) pulses.emplace_back(event.bar, event.pulse);
  }
  EXPECT_EQ(pulses, (std::vector<std::pair<int, int>>{{0, 0},
                                                      {0, 1},
                                                      {0, 2},
                                                      {0, 3},
                                                      {1, 0},
                                                      {1, 1},
                                                      {1, 2},
                                                      {2, 0},
                                                      {2, 1},
                                                      {2, 2},
                                                      {3, 0},
                                                      {3, 1},
                                                      {4, 0},
                                                      {4, 1}}));
}

}  // namespace
}  // namespace romanesca
