#include "theory/listening/chord_listener.h"

#include <gtest/gtest.h>

#include <random>
#include <string>

#include "tests/theory/named_chords.h"
#include "theory/listening/playing_report.h"

namespace romanesca {
namespace {

using test::c_major;
using test::chord;
using Verdict = ChordHeard::Verdict;

/// A band at one chord every two seconds, and a pair of hands.
class Lesson {
 public:
  Lesson& asks(const char* name) {
    // The keys come in as they are played; the band's chord comes with them.
    listener.ask({chord(name), static_cast<int>(due_ / 2000) + 1, due_, 2000});
    due_ += 2000;
    return *this;
  }
  Lesson& strikes(double at_ms, const std::vector<int>& midi, double apart_ms = 0) {
    for (const int note : midi) {
      listener.key_down(note, at_ms);
      at_ms += apart_ms;
    }
    return *this;
  }
  Lesson& lets_go(double at_ms, const std::vector<int>& midi) {
    for (const int note : midi) listener.key_up(note, at_ms);
    return *this;
  }
  const std::vector<ChordHeard>& ends() {
    listener.stop(due_);
    return listener.heard();
  }
  ChordListener listener{c_major};

 private:
  double due_ = 0;
};

TEST(ChordListener, ARightChordInTime) {
  Lesson lesson;
  const auto& heard = lesson.asks("C").strikes(20, {48, 60, 64, 67}).ends();
  ASSERT_EQ(heard.size(), 1U);
  EXPECT_EQ(heard[0].verdict, Verdict::as_asked);
  EXPECT_NEAR(heard[0].late_ms, 20, 1e-9);
  EXPECT_EQ(describe(heard[0]), "C, in time");
}

TEST(ChordListener, ALittleBeforeTheBandIsForTheComingChord) {
  Lesson lesson;
  const auto& heard = lesson.asks("C")
                          .strikes(0, {60, 64, 67})
                          .lets_go(1700, {60, 64, 67})
                          .asks("F")
                          .strikes(1890, {60, 65, 69})
                          .ends();
  ASSERT_EQ(heard.size(), 2U);
  EXPECT_EQ(heard[0].verdict, Verdict::as_asked);
  EXPECT_EQ(heard[1].verdict, Verdict::as_asked);
  EXPECT_NEAR(heard[1].late_ms, -110, 1e-9);
  EXPECT_EQ(describe(heard[1]), "F, 0.11 s early");
}

TEST(ChordListener, RolledAndBrokenChordsAreWhole) {
  Lesson rolled;
  EXPECT_EQ(rolled.asks("Am").strikes(0, {57, 60, 64, 69}, 50).ends()[0].verdict, Verdict::as_asked);
  Lesson broken;
  EXPECT_EQ(broken.asks("Am").strikes(0, {57, 64, 60, 64}, 400).ends()[0].verdict, Verdict::as_asked);
}

TEST(ChordListener, OctavesAndInversionsAreFreeUnlessABassIsAsked) {
  Lesson free;
  EXPECT_EQ(free.asks("C").strikes(0, {40, 55, 72, 84}).ends()[0].verdict, Verdict::as_asked);
  Lesson slash;
  EXPECT_EQ(slash.asks("C/E").strikes(0, {40, 55, 72, 84}).ends()[0].verdict, Verdict::as_asked);
  Lesson other;
  const auto& heard = other.asks("C/E").strikes(0, {36, 52, 55}).ends();
  EXPECT_EQ(heard[0].verdict, Verdict::other_bass);
  EXPECT_EQ(describe(heard[0]), "C/E with another bass, in time");
}

TEST(ChordListener, MissingNotesAreNamed) {
  Lesson lesson;
  const auto& heard = lesson.asks("G7").strikes(0, {55, 59}).ends();
  EXPECT_EQ(heard[0].verdict, Verdict::part_of_it);
  EXPECT_EQ(describe(heard[0]), "G7 without F, in time");
}

TEST(ChordListener, AnotherChordIsNamed) {
  Lesson lesson;
  const auto& heard = lesson.asks("F").strikes(0, {62, 65, 69}).ends();
  EXPECT_EQ(heard[0].verdict, Verdict::another);
  EXPECT_EQ(describe(heard[0]), "Dm instead of F, in time");
}

TEST(ChordListener, ACorrectionCounts) {
  Lesson lesson;
  const auto& heard =
      lesson.asks("F").strikes(0, {62, 65, 69}).lets_go(500, {62, 65, 69}).strikes(700, {60, 65, 69}).ends();
  EXPECT_EQ(heard[0].verdict, Verdict::as_asked);
  EXPECT_TRUE(heard[0].corrected);
}

TEST(ChordListener, CommonTonesMayBeHeldAndPedalDoesNotCount) {
  Lesson held;
  const auto& kept = held.asks("C").strikes(0, {60, 64, 67}).lets_go(1950, {67}).asks("Am").strikes(2010, {57}).ends();
  EXPECT_EQ(kept[1].verdict, Verdict::as_asked);
  Lesson pedalled;
  pedalled.asks("C");
  pedalled.listener.pedal(127, 0);
  const auto& heard =
      pedalled.strikes(10, {60, 64, 67}).lets_go(1500, {60, 64, 67}).asks("F").strikes(2000, {53, 57, 60}).ends();
  EXPECT_EQ(heard[1].verdict, Verdict::as_asked) << "E and G are only the pedal's";
}

TEST(ChordListener, AChordThatIsNeverLetGoIsHeldOver) {
  Lesson lesson;
  const auto& heard = lesson.asks("C").strikes(0, {60, 64, 67}).asks("C").ends();
  EXPECT_EQ(heard[1].verdict, Verdict::as_asked);
  EXPECT_TRUE(heard[1].held_over);
  EXPECT_EQ(describe(heard[1]), "C");
}

TEST(ChordListener, SilenceIsSilence) {
  Lesson lesson;
  const auto& heard = lesson.asks("C").asks("F").ends();
  ASSERT_EQ(heard.size(), 2U);
  EXPECT_EQ(heard[1].verdict, Verdict::nothing);
  EXPECT_EQ(describe(heard[1]), "F: nothing heard");
}

TEST(ChordListener, TheKeyboardsDelayIsTakenOff) {
  ChordListener::Settings settings;
  settings.latency_ms = 30;
  ChordListener listener(c_major, settings);
  listener.ask({chord("C"), 1, 1000, 2000});
  for (const int midi : {60, 64, 67}) listener.key_down(midi, 1040);
  listener.stop(3000);
  EXPECT_NEAR(listener.heard()[0].late_ms, 10, 1e-9);
}

TEST(ChordListener, VerdictsComeAsTheMusicGoesOn) {
  Lesson lesson;
  lesson.asks("C").strikes(0, {60, 64, 67}).asks("F");
  lesson.listener.pass(2050);
  EXPECT_TRUE(lesson.listener.heard().empty()) << "a message may still be on its way";
  lesson.listener.pass(2070);
  EXPECT_EQ(lesson.listener.heard().size(), 1U);
}

/// Whatever comes in: one verdict for every chord, in order, and times near their chords.
TEST(ChordListener, AnyKeyboardGetsOneVerdictAChord) {
  for (unsigned seed = 1; seed <= 400; ++seed) {
    std::mt19937 random(seed);
    ChordListener listener(c_major);
    double now = 0;
    int asked = 0;
    for (int step = 0; step < 400; ++step) {
      now += static_cast<double>(random() % 300);
      switch (random() % 6) {
        case 0:
          listener.ask(
              {chord(random() % 2 == 0 ? "C" : "G7/B"), ++asked, now, 500.0 + static_cast<double>(random() % 2000)});
          break;
        case 1:
          listener.pedal(static_cast<int>(random() % 200) - 30, now);
          break;
        case 2:
          listener.key_up(static_cast<int>(random() % 200) - 30, now);
          break;
        case 3:
          listener.pass(now);
          break;
        default:
          listener.key_down(static_cast<int>(random() % 200) - 30, now);
      }
    }
    listener.stop(now);
    ASSERT_EQ(listener.heard().size(), static_cast<std::size_t>(asked)) << seed;
    for (int i = 0; i < asked; ++i) ASSERT_EQ(listener.heard()[static_cast<std::size_t>(i)].asked.bar, i + 1) << seed;
  }
}

TEST(HeardNotes, ThePedalHoldsWhatTheFingersLetGo) {
  HeardNotes notes;
  notes.key_down(60);
  notes.pedal(64);
  notes.key_up(60);
  notes.key_down(64);
  EXPECT_FALSE(notes.held()[60]);
  EXPECT_TRUE(notes.sounding()[60] && notes.sounding()[64]);
  notes.pedal(63);
  EXPECT_FALSE(notes.sounding()[60]);
  EXPECT_TRUE(notes.sounding()[64]);
  notes.key_down(200);
  notes.key_up(-1);
  notes.all_up();
  EXPECT_TRUE(notes.sounding().none());
}

}  // namespace
}  // namespace romanesca
