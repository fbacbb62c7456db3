#include "synth/hearing/bar_decoder.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

namespace romanesca {
namespace {

constexpr std::size_t c_chord = chord_class(0, ChordQuality::major), f_chord = chord_class(5, ChordQuality::major),
                      g_chord = chord_class(7, ChordQuality::major), a_chord = chord_class(9, ChordQuality::minor);

/// A beat that speaks for a chord, and a little for its relatives.
BeatEvidence beat_of(std::size_t chord, float strength = 4) {
  BeatEvidence beat;
  for (std::size_t i = 0; i < chord_classes; ++i) beat.chords[i] = i == chord ? 0 : -strength;
  return beat;
}

std::vector<BeatEvidence> bars_of(std::initializer_list<std::size_t> chords, int pulses) {
  std::vector<BeatEvidence> beats;
  for (const std::size_t chord : chords) {
    for (int i = 0; i < pulses; ++i) beats.push_back(beat_of(chord));
  }
  return beats;
}

TEST(ChordClass, MovesAndNamesFamilies) {
  static_assert(moved_class(c_chord, 7) == g_chord && moved_class(g_chord, -7) == c_chord);
  static_assert(moved_class(no_chord_class, 5) == no_chord_class);
  static_assert(triad_family(c_chord) == triad_family(chord_class(0, ChordQuality::major_seventh)));
  static_assert(triad_family(c_chord) != triad_family(chord_class(0, ChordQuality::minor)));
  static_assert(triad_family(chord_class(3, ChordQuality::diminished)) == 27);
  EXPECT_EQ(chord_class(-1, ChordQuality::minor), chord_class(11, ChordQuality::minor));
}

TEST(ChordSuccessions, AreProbabilities) {
  const ChordSuccessions table;
  for (std::size_t from = 0; from < chord_classes; ++from) {
    double sum = 0;
    double any = 0;
    for (std::size_t to = 0; to < chord_classes; ++to) {
      if (to == from) continue;
      sum += std::exp(static_cast<double>(table.next(3, from, to)));
      any += std::exp(static_cast<double>(table.next_in_any_key(from, to)));
    }
    EXPECT_NEAR(sum, 1, 1e-3) << from;
    EXPECT_NEAR(any, 1, 1e-3) << from;
  }
  // Common practice: the dominant goes home, the tonic is the most usual chord.
  EXPECT_GT(table.next(0, g_chord, c_chord), table.next(0, g_chord, chord_class(6, ChordQuality::major)) + 3);
  for (std::size_t chord = 0; chord < chord_classes; ++chord) EXPECT_LE(table.usual(0, chord), table.usual(0, c_chord));
  EXPECT_EQ(table.next(0, g_chord, c_chord), table.next(2, moved_class(g_chord, 2), moved_class(c_chord, 2)));
}

TEST(ChordSuccessions, ChangeMostOnTheFirstPulse) {
  for (int pulses = 2; pulses <= 5; ++pulses) {
    const auto chances = change_chances(pulses);
    ASSERT_EQ(chances.size(), static_cast<std::size_t>(pulses));
    for (std::size_t i = 0; i < chances.size(); ++i) {
      EXPECT_GT(chances[i], 0);
      EXPECT_LT(chances[i], 1);
      EXPECT_LE(chances[i], chances[0]);
    }
  }
}

TEST(BarDecoder, PutsLinesWhereChordsChange) {
  const ChordSuccessions table;
  auto beats = bars_of({c_chord, a_chord, f_chord, g_chord, c_chord, f_chord, g_chord, c_chord}, 4);
  beats.erase(beats.begin(), beats.begin() + 3);  // the first bar has one beat
  const auto decoded = BarDecoder(table, 4).decode(beats, std::nullopt);
  ASSERT_EQ(decoded.size(), beats.size());
  for (std::size_t i = 0; i < decoded.size(); ++i) {
    EXPECT_EQ(decoded[i].place, static_cast<int>((i + 3) % 4)) << i;
    EXPECT_EQ(beats[i].chords[decoded[i].chord], 0) << i;
    EXPECT_EQ(decoded[i].tonic, 0);
    if (i > 0) {
      EXPECT_GT(decoded[i].sure, 0.9);  // the first is a bar of one beat
    }
  }
}

TEST(BarDecoder, ChoosesTheMeter) {
  const ChordSuccessions table;
  const auto three = bars_of({c_chord, a_chord, f_chord, g_chord, c_chord, f_chord, g_chord, c_chord}, 3);
  const auto four = bars_of({c_chord, a_chord, f_chord, g_chord, c_chord, f_chord, g_chord, c_chord}, 4);
  const auto score = [&](int pulses, const auto& beats) {
    return BarDecoder(table, pulses).score(beats, std::nullopt);
  };
  EXPECT_GT(score(3, three), score(4, three) + 3);
  EXPECT_GT(score(4, four), score(3, four) + 3);
}

TEST(BarDecoder, TakesAnExtraBeatForAHesitation) {
  const ChordSuccessions table;
  auto beats = bars_of({c_chord, a_chord, f_chord, g_chord, c_chord, f_chord, g_chord, c_chord}, 4);
  beats.insert(beats.begin() + 12, beat_of(f_chord));
  const auto decoded = BarDecoder(table, 4).decode(beats, std::nullopt);
  EXPECT_EQ(decoded[8].place, 0);
  EXPECT_EQ(decoded[13].place, 0) << "the bar of G begins a beat later";
  EXPECT_EQ(decoded[17].place, 0);
}

TEST(BarDecoder, KeepsTheFirstLine) {
  const ChordSuccessions table;
  const auto beats = bars_of({c_chord, a_chord, f_chord, g_chord}, 4);
  const auto decoded = BarDecoder(table, 4).decode(beats, 2);
  EXPECT_EQ(decoded[2].place, 0);
}

TEST(BarDecoder, IsLessSureOfABeatThatSpeaksForTwoChords) {
  const ChordSuccessions table;
  auto beats = bars_of({c_chord, a_chord, f_chord, g_chord}, 4);
  for (std::size_t i = 8; i < 12; ++i) beats[i].chords[a_chord] = -0.1f;
  const auto decoded = BarDecoder(table, 4).decode(beats, std::nullopt);
  EXPECT_LT(decoded[9].sure, decoded[1].sure - 0.1);
}

TEST(BarDecoder, FollowsAChangeOfKey) {
  const ChordSuccessions table;
  std::vector<BeatEvidence> beats;
  for (const int tonic : {0, 6}) {
    for (int round = 0; round < 4; ++round) {
      for (const std::size_t chord : {c_chord, f_chord, g_chord, c_chord}) {
        for (int i = 0; i < 4; ++i) beats.push_back(beat_of(moved_class(chord, tonic)));
      }
    }
  }
  const auto decoded = BarDecoder(table, 4).decode(beats, std::nullopt);
  EXPECT_EQ(decoded[20].tonic, 0);
  EXPECT_EQ(decoded[100].tonic, 6);
}

TEST(BarDecoder, TakesNothing) { EXPECT_TRUE(BarDecoder(ChordSuccessions(), 4).decode({}, std::nullopt).empty()); }

}  // namespace
}  // namespace romanesca
