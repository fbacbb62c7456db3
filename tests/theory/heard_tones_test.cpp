// What a microphone hears, compared with a chord: the numbers are made up, the judgement follows the text of
// heard_tones.h.
#include "theory/listening/heard_tones.h"

#include <gtest/gtest.h>

#include "tests/theory/named_chords.h"
#include "theory/listening/chord_listener.h"
#include "theory/listening/playing_report.h"

namespace romanesca {
namespace {

using test::c_major;
using test::chord;
using Answer = SoundMatch::Answer;
using Verdict = ChordHeard::Verdict;
using Tones = std::array<float, 12>;

/// These pitch classes sound surely, and nothing else does.
Tones sounding(std::initializer_list<std::size_t> pitch_classes) {
  Tones tones;
  tones.fill(0.02f);
  for (const std::size_t tone : pitch_classes) tones[tone] = 0.98f;
  return tones;
}

TEST(SoundMatch, TheChordIsRightInAnyOrder) {
  EXPECT_EQ(match_sound(sounding({0, 4, 7}), chord("C"), c_major).answer, Answer::right);
  EXPECT_EQ(match_sound(sounding({2, 5, 7, 11}), chord("G7"), c_major).answer, Answer::right);
}

TEST(SoundMatch, AMissingFifthAndAnAddedSeventhAreNotLookedAt) {
  EXPECT_EQ(match_sound(sounding({0, 4}), chord("C"), c_major).answer, Answer::right);
  EXPECT_EQ(match_sound(sounding({0, 4, 7, 10}), chord("C"), c_major).answer, Answer::right);
  EXPECT_EQ(match_sound(sounding({0, 4, 7, 11}), chord("C"), c_major).answer, Answer::right);
  EXPECT_EQ(match_sound(sounding({2, 5}), chord("Bdim"), c_major).answer, Answer::wrong) << "B is its root";
  EXPECT_EQ(match_sound(sounding({11, 2}), chord("Bdim"), c_major).answer, Answer::wrong) << "its fifth makes it";
  EXPECT_EQ(match_sound(sounding({7, 11, 2}), chord("G7"), c_major).answer, Answer::wrong) << "the seventh is asked";
}

TEST(SoundMatch, WrongTonesAreNamed) {
  const SoundMatch minor = match_sound(sounding({0, 3, 7}), chord("C"), c_major);
  EXPECT_EQ(minor.answer, Answer::wrong);
  ASSERT_EQ(minor.missing.size(), 1U);
  EXPECT_EQ(to_string(minor.missing[0]), "E");
  ASSERT_EQ(minor.foreign.size(), 1U);
  EXPECT_EQ(to_string(minor.foreign[0]), "Eb");
}

TEST(SoundMatch, WhatIsNotSureIsUnclear) {
  Tones tones = sounding({0, 7});
  tones[4] = 0.2f;  // perhaps an E
  EXPECT_EQ(match_sound(tones, chord("C"), c_major).answer, Answer::unclear);
  Tones more = sounding({0, 4, 7});
  more[9] = 0.75f;  // perhaps an A
  EXPECT_EQ(match_sound(more, chord("C"), c_major).answer, Answer::unclear);
}

/// A band at one chord every two seconds, and a microphone.
class HeardLesson {
 public:
  HeardLesson& asks(const char* name) {
    listener_.ask({chord(name), static_cast<int>(due_ / 2000) + 1, due_, 2000});
    due_ += 2000;
    return *this;
  }
  /// Looks from 100 ms after the onset on.
  HeardLesson& hears(double onset_ms, const Tones& tones, double until_ms = 900) {
    for (double age_ms = 100; age_ms <= until_ms; age_ms += 50)
      listener_.tones_sound({onset_ms, onset_ms + age_ms, tones});
    return *this;
  }
  const std::vector<ChordHeard>& ends() {
    listener_.stop(due_);
    return listener_.heard();
  }

 private:
  ChordListener listener_{c_major};
  double due_ = 0;
};

TEST(ChordListenerBySound, TheVerdictIsDatedBackToTheOnset) {
  HeardLesson lesson;
  const auto& heard = lesson.asks("C").hears(40, sounding({0, 4, 7})).asks("F").hears(2200, sounding({0, 5, 9})).ends();
  ASSERT_EQ(heard.size(), 2U);
  EXPECT_EQ(describe(heard[0]), "C, in time");
  EXPECT_EQ(describe(heard[1]), "F, 0.20 s late");
}

TEST(ChordListenerBySound, AnOnsetBelongsToTheChordInWhoseTimeItLies) {
  HeardLesson lesson;
  const auto& heard = lesson.asks("C").hears(0, sounding({0, 4, 7})).asks("F").hears(1900, sounding({0, 5, 9})).ends();
  EXPECT_EQ(describe(heard[0]), "C, in time");
  EXPECT_EQ(describe(heard[1]), "F, 0.10 s early");
}

TEST(ChordListenerBySound, BrokenChordsAreWhole) {
  HeardLesson lesson;
  const auto& heard = lesson.asks("C")
                          .hears(0, sounding({0}), 400)
                          .hears(500, sounding({4}), 400)
                          .hears(1000, sounding({7, 0}), 400)
                          .ends();
  EXPECT_EQ(heard[0].verdict, Verdict::as_asked);
}

TEST(ChordListenerBySound, ACorrectionCounts) {
  HeardLesson lesson;
  const auto& heard = lesson.asks("C").hears(0, sounding({0, 3, 7}), 600).hears(800, sounding({0, 4, 7})).ends();
  EXPECT_EQ(heard[0].verdict, Verdict::as_asked);
  EXPECT_TRUE(heard[0].corrected);
  EXPECT_NEAR(heard[0].late_ms, 800, 1e-9);
}

TEST(ChordListenerBySound, WrongChordsAreToldByTheirTones) {
  HeardLesson lesson;
  EXPECT_EQ(describe(lesson.asks("C").hears(0, sounding({0, 3, 7})).ends()[0]), "C with Eb instead of E, in time");
  HeardLesson less;
  EXPECT_EQ(describe(less.asks("C").hears(0, sounding({0, 7})).ends()[0]), "C without E, in time");
}

TEST(ChordListenerBySound, SilenceAndKnocksAreNothing) {
  HeardLesson lesson;
  const auto& heard =
      lesson.asks("C").hears(0, sounding({0, 4, 7})).asks("F").hears(2000, sounding({})).asks("G").ends();
  EXPECT_EQ(heard[1].verdict, Verdict::nothing);
  EXPECT_EQ(heard[2].verdict, Verdict::nothing);
}

TEST(ChordListenerBySound, AChordThatMayRingOnIsNotCounted) {
  HeardLesson lesson;
  const auto& heard = lesson.asks("C").hears(0, sounding({0, 4, 7})).asks("C").ends();
  EXPECT_EQ(heard[1].verdict, Verdict::not_clear);
  EXPECT_EQ(describe(heard[1]), "C: not heard clearly");
}

TEST(PlayingReport, WhatIsNotClearDoesNotCount) {
  HeardLesson lesson;
  Tones unclear = sounding({5, 9});
  unclear[5] = 0.25f;
  const auto& heard = lesson.asks("C")
                          .hears(0, sounding({0, 4, 7}))
                          .asks("F")
                          .hears(2000, unclear)
                          .asks("G")
                          .hears(4000, sounding({7, 11, 2}))
                          .ends();
  EXPECT_EQ(report_on(heard).sentences(),
            (std::vector<std::string>{"All 2 chords were right.", "Every chord came in time.",
                                      "One chord was not heard clearly and is not counted."}));
  HeardLesson nothing_sure;
  EXPECT_EQ(report_on(nothing_sure.asks("F").hears(0, unclear).ends()).sentences().size(), 1U);
}

}  // namespace
}  // namespace romanesca
