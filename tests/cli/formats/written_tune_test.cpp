// How a tune's rhythm is written: the rules of Gould, "Behind Bars", the chapter on metre (from memory), shown by bars
// of our own.
#include "cli/formats/written_tune.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <random>

namespace romanesca {
namespace {

/// A tune of these lengths on one pitch; negative ones are rests. In quarter notes over @p parts.
Tune rhythm(const std::vector<int>& lengths, int parts, Beats start = {}) {
  Tune tune;
  if (start < Beats(0)) tune.upbeat = Beats(0) - start;
  Beats now = start;
  for (const int length : lengths) {
    const Beats duration(length < 0 ? -length : length, parts);
    if (length > 0) tune.notes.push_back({now, duration, Pitch(PitchClass(0), 5)});
    now += duration;
  }
  return tune;
}

/// "4 8 8~ 8 r4": notes and rests by their denominators, "." dotted, "~" tied, "3:" in a triplet, "R" a bar of rest.
std::string written(const Tune& tune, const Meter& meter, int bar = 1) {
  std::string text;
  for (const WrittenTuneNote& note : written_tune_bar(tune, MeterMap(meter), bar)) {
    const int denominator = note.value.power <= 2 ? 1 << (2 - note.value.power) : 0;
    text += fmt::format("{}{}{}{}{}{}", text.empty() ? "" : " ",
                        note.whole_bar ? "R"
                        : note.note    ? ""
                                       : "r",
                        note.tuplet ? fmt::format("{}:", note.tuplet->actual) : "", denominator,
                        note.value.dotted ? "." : "", note.tied ? "~" : "");
  }
  return text;
}

TEST(WrittenTune, KeepsPulsesInSight) {
  const Meter four{4, 4};
  EXPECT_EQ(written(rhythm({1, 1, 1, 1}, 1), four), "4 4 4 4");
  EXPECT_EQ(written(rhythm({3, 1}, 1), four), "2. 4");
  EXPECT_EQ(written(rhythm({1, 2, 1, 4}, 2), four), "8 4 8 2");          // over a pulse inside a half
  EXPECT_EQ(written(rhythm({3, 1, 4}, 2), four), "4. 8 2");              // dotted
  EXPECT_EQ(written(rhythm({1, 1, 1, 3, 2}, 2), four), "8 8 8 8~ 4 4");  // over the middle of the bar
  EXPECT_EQ(written(rhythm({4, 4}, 1), four), "1");
  EXPECT_EQ(written(rhythm({6}, 1), four), "1~");
  EXPECT_EQ(written(rhythm({6}, 1), four, 2), "2 r2");
}

TEST(WrittenTune, CompoundMetersHaveDottedPulses) {
  const Meter six{6, 8};
  EXPECT_EQ(written(rhythm({3, 3}, 2), six), "4. 4.");
  EXPECT_EQ(written(rhythm({2, 1, 2, 1}, 2), six), "4 8 4 8");
  EXPECT_EQ(written(rhythm({6}, 2), six), "2.");
  EXPECT_EQ(written(rhythm({2, 2, 2}, 2), six), "4 8~ 8 4");
  EXPECT_EQ(written(rhythm({9}, 2), Meter{9, 8}), "2.~ 4.");
}

TEST(WrittenTune, RestsShowEveryPulse) {
  const Meter four{4, 4};
  EXPECT_EQ(written(rhythm({1, -1, 1, 1}, 1), four), "4 r4 4 4");
  EXPECT_EQ(written(rhythm({1, -3}, 1), four), "4 r4 r2");
  EXPECT_EQ(written(rhythm({2, -2}, 1), four), "2 r2");
  EXPECT_EQ(written(rhythm({-2, 2}, 1), four), "r2 2");
  EXPECT_EQ(written(rhythm({1, -2}, 1), Meter{3, 4}), "4 r4 r4");
  EXPECT_EQ(written(rhythm({-4, 4}, 1), four), "R1");
}

TEST(WrittenTune, TripletsHaveTheirOwnPulse) {
  const Meter four{4, 4};
  EXPECT_EQ(written(rhythm({1, 1, 1, 3, 6}, 3), four), "3:8 3:8 3:8 4 2");
  EXPECT_EQ(written(rhythm({3, 2, 1, 6}, 3), four), "4 3:4 3:8 2");
  EXPECT_EQ(written(rhythm({6, 2, 2, 2}, 3), four), "2 3:4 3:4 3:4");
  EXPECT_EQ(written(rhythm({4, 1, 1, 6}, 3), four), "4~ 3:8 3:8 3:8 2");
}

TEST(WrittenTune, AnUpbeatStandsAtTheEndOfItsBar) {
  const Tune tune = rhythm({1, 1, 2, 4}, 2, Beats(-1));
  EXPECT_EQ(written(tune, Meter{3, 4}, 0), "8 8");
  EXPECT_EQ(tune_bar_begin(tune, MeterMap(Meter{3, 4}), 0), Beats(2));
  EXPECT_EQ(written(tune, Meter{3, 4}, 1), "4 2");
}

// Whatever the rhythm: the parts fill the bar, show what they sound, and give the notes back.
TEST(WrittenTune, AnyRhythmComesBack) {
  std::mt19937 random(1);
  for (int round = 0; round < 400; ++round) {
    const Meter meter = all_meters[random() % all_meters.size()];
    std::vector<int> lengths;
    const int parts = std::array{1, 2, 4, 3, 6}[random() % 5];
    for (int i = 0; i < 24; ++i) {
      const int length = 1 + static_cast<int>(random() % 5);
      lengths.push_back(random() % 5 == 0 ? -length : length);
    }
    const Tune tune = rhythm(lengths, parts);
    const MeterMap meters(meter);
    std::vector<Beats> sounds(tune.notes.size());
    const Beats end = tune.notes.back().start + tune.notes.back().length;
    for (int bar = 1; meters.start_of(bar) < end; ++bar) {
      Beats now;
      for (const WrittenTuneNote& note : written_tune_bar(tune, meters, bar)) {
        ASSERT_EQ(note.start, now) << round;
        now += note.length;
        if (note.note) sounds[*note.note] += note.length;
        Beats shown = note.value.length();
        if (note.tuplet) shown = shown * note.tuplet->normal / note.tuplet->actual;
        ASSERT_TRUE(note.whole_bar || shown == note.length) << round << ' ' << to_string(meter);
      }
      ASSERT_EQ(now, meter.bar_length()) << round;
    }
    for (std::size_t i = 0; i < sounds.size(); ++i) ASSERT_EQ(sounds[i], tune.notes[i].length) << round;
  }
}

}  // namespace
}  // namespace romanesca
