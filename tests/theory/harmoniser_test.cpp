#include "theory/harmony/harmoniser.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "progressions/harmony_level.h"
#include "tests/theory/tune_maker.h"
#include "theory/harmony/harmony_path.h"
#include "theory/harmony/tune_repeats.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

std::vector<std::string> chord_names(const Analysis& analysis) {
  std::vector<std::string> names;
  for (const AnalysedChord& chord : analysis.chords) names.push_back(to_string(*chord.timed.chord));
  return names;
}

const HarmonyChoice* choice_of(const Harmonisation& harmony, HarmonyKind kind) {
  for (const HarmonyChoice& choice : harmony.choices) {
    if (choice.kind == kind) return &choice;
  }
  return nullptr;
}

HarmonyRequest at_level(int number) {
  HarmonyRequest request;
  request.limits = harmony_limits(level(number));
  return request;
}

// A tune that spells the triads of I IV V I note by note: every harmony textbook harmonises it so.
TEST(Harmoniser, BrokenTriadsGetTheirTriads) {
  const Tune tune = tune_of_text("C4 E4 G4 C5 F4 A4 C5 A4 G4 B4 D5 B4 C5 - - -");
  const Harmonisation harmony = harmonise(tune, MeterMap(), at_level(1));
  ASSERT_FALSE(harmony.choices.empty());
  EXPECT_EQ(chord_names(harmony.choices.front().analysis), (std::vector<std::string>{"C", "F", "G", "C"}));
  EXPECT_EQ(to_string(harmony.keys.front().key), "C major");
  EXPECT_EQ(harmony.choices.front().kind, HarmonyKind::plain);
}

// The raised seventh of minor that rises to the tonic is the third of the dominant, and the tonic held before it a
// suspension (common practice: every textbook's first cadence in minor).
TEST(Harmoniser, TheRaisedSeventhOfMinorGetsTheDominant) {
  const Tune tune = tune_of_text("A4 B4 C5 A4 E4 A4 C5 A4 D5 C5 B4 A4 E4 A4 A4 G#4 A4 - - -");
  HarmonyRequest request = at_level(5);
  request.key = KeyText{PitchClass(3), Mode::minor};
  const Harmonisation harmony = harmonise(tune, MeterMap(), request);
  for (const HarmonyChoice& choice : harmony.choices) {
    const auto names = chord_names(choice.analysis);
    ASSERT_GE(names.size(), 2U);
    EXPECT_EQ(names.back(), "Am");
    EXPECT_TRUE(names[names.size() - 2].starts_with("E")) << names[names.size() - 2];
  }
}

// What comes again note for note has the same chords again, but for the last bar of a phrase, where a cadence may ask
// otherwise (common practice, no source).
TEST(Harmoniser, WhatComesAgainHasTheSameChords) {
  const std::string pair = "A4 C5 E5 C5 D5 B4 G4 B4 ", other = "F4 A4 G4 B4 E4 G4 D4 F4 ";
  const Tune tune = tune_of_text(pair + "C5 A4 F4 A4 G4 - - - " + other + "C5 E5 D5 B4 A4 - - - " + pair + other +
                                 "E4 F4 D4 B4 C4 - - - ");
  const MeterMap meters;
  for (int number = 1; number <= 8; ++number) {
    for (const HarmonyChoice& choice : harmonise(tune, meters, at_level(number)).choices) {
      const Timeline& timeline = choice.analysis.timeline;
      const auto roots = [&](int first_bar, int last_bar) {
        std::string text;
        for (const TimedChord& chord : timeline.chords) {
          if (chord.bar < first_bar || chord.bar > last_bar) continue;
          text += to_string(chord.chord->root) + "@" + std::to_string(chord.bar - first_bar) + " ";
        }
        return text;
      };
      EXPECT_EQ(roots(1, 2), roots(9, 10)) << number << ' ' << to_string(choice.kind);
      EXPECT_EQ(roots(5, 5), roots(11, 11))  // bar 12 ends a phrase
          << number << ' ' << to_string(choice.kind);
    }
  }
}

// I, IV and V alone need two chords in more bars than all chords of the key; a level that plays one a bar has one.
TEST(Harmoniser, ThePlainChoiceChangesWhereTheTuneDoes) {
  const Tune tune = tune_of_text("C4 E4 F4 A4 A4 C5 E5 A4 D4 F4 A4 D5 G4 B4 C5 -");
  const auto most_in_a_bar = [&](int number) {
    const Harmonisation harmony = harmonise(tune, MeterMap(), at_level(number));
    const HarmonyChoice* plain = choice_of(harmony, HarmonyKind::plain);
    std::map<int, int> in_bar;
    int most = 0;
    if (plain == nullptr || harmony.choices.front().kind == HarmonyKind::plain) return most;
    for (const AnalysedChord& chord : plain->analysis.chords) most = std::max(most, ++in_bar[chord.timed.bar]);
    return most;
  };
  EXPECT_EQ(most_in_a_bar(5), 2);
  EXPECT_EQ(most_in_a_bar(2), harmony_limits(level(2)).most_per_bar);
}

TEST(TuneRepeats, PairsOfBarsThatAreSungAgain) {
  const Tune tune = tune_of_text("C4 D4 E4 F4 G4 - - - C5 B4 A4 G4 E4 - - - C4 D4 E4 F4 G4 - - - C5 B4 A4 G4 D4 - - -");
  const MeterMap meters;
  const auto repeats = find_tune_repeats(tune, meters, tune_spans(tune, meters, SpanSize::half_bar));
  ASSERT_EQ(repeats.size(), 1U);
  EXPECT_EQ(repeats[0].first_spans, (std::vector<std::size_t>{0, 8}));
  EXPECT_EQ(repeats[0].spans, 4U);
  // From an even bar on it is another place in the phrase.
  EXPECT_TRUE(find_tune_repeats(tune_of_text("C4 D4 E4 F4 G4 - - - A4 - - - C4 D4 E4 F4 G4 - - - A4 - - -"), meters,
                                tune_spans(tune, meters, SpanSize::bar))
                  .empty());
}

// Five beats are three and two, or two and three where the tune's longer notes say so.
TEST(Harmoniser, ABarOfFiveMayHaveTwoChords) {
  const MeterMap meters{Meter{5, 4}};
  const auto written = [&](const char* text) {
    HarmonyRequest request = at_level(5);
    request.key = KeyText{PitchClass(0), Mode::major};
    const auto harmony = harmonise(tune_of_text(text), meters, request);
    const std::string song = write_progression(harmony.choices.at(0).progression);
    return song.substr(song.find('|'));
  };
  EXPECT_EQ(written("C4 E4 G4 B4 - C5 E5 C5 D5 - C5 E5 C5 B4 D5 C5 - - - -"),
            "| C / / G7 / | C / / G7 / | C / / G7 / | C |\n");
  EXPECT_EQ(written("C4 E4 B4 - D5 C5 E5 D5 - B4 C5 E5 D5 - B4 C5 - - - -"),
            "| C / G7 / / | C / G7 / / | C / G7 / / | C |\n");
}

TEST(Harmoniser, ThreeChoicesThatDifferAtEveryLevel) {
  const Tune tune = tune_of_text(little_tune);
  for (int number = 1; number <= 8; ++number) {
    const Harmonisation harmony = harmonise(tune, MeterMap(), at_level(number));
    ASSERT_EQ(harmony.choices.size(), 3U) << number;
    std::set<std::vector<std::string>> different;
    for (const HarmonyChoice& choice : harmony.choices) different.insert(chord_names(choice.analysis));
    EXPECT_EQ(different.size(), 3U) << number;
  }
}

TEST(Harmoniser, EveryChordIsOfTheLevel) {
  const Tune tune = tune_of_text(little_tune);
  for (int number = 1; number <= 8; ++number) {
    const Level& limits = level(number);
    for (const HarmonyChoice& choice : harmonise(tune, MeterMap(), at_level(number)).choices) {
      std::map<int, int> in_bar;
      for (const AnalysedChord& chord : choice.analysis.chords) {
        EXPECT_TRUE(limits.allows(chord.timed.chord->type)) << number << ' ' << to_string(*chord.timed.chord);
        ASSERT_TRUE(chord.reading.has_value());
        EXPECT_TRUE(limits.allows(chord.reading->origin)) << number << ' ' << to_string(*chord.timed.chord);
        EXPECT_TRUE(number >= 5 || chord.reading->origin == Origin::diatonic) << number;
        EXPECT_LE(++in_bar[chord.timed.bar], limits.chords_per_bar);
      }
    }
  }
}

TEST(Harmoniser, PlainHasTheThreeMainChordsAndSurpriseHasAForeignOne) {
  const Harmonisation harmony = harmonise(tune_of_text(little_tune), MeterMap(), at_level(6));
  const HarmonyChoice* plain = choice_of(harmony, HarmonyKind::plain);
  ASSERT_NE(plain, nullptr);
  for (const std::string& name : chord_names(plain->analysis)) {
    EXPECT_TRUE((std::set<std::string>{"C", "F", "G", "G7"}.contains(name))) << name;
  }
  const HarmonyChoice* surprise = choice_of(harmony, HarmonyKind::surprise);
  ASSERT_NE(surprise, nullptr);
  const auto& chords = surprise->analysis.chords;
  EXPECT_TRUE(std::any_of(chords.begin(), chords.end(),
                          [](const AnalysedChord& each) { return each.reading->origin != Origin::diatonic; }));
}

TEST(Harmoniser, ASurpriseHasAChordThatNoOtherChoiceHas) {
  // In the second one an early version took the main chords alone, in other places.
  for (const std::string_view text :
       {little_tune, std::string_view("key: G\nmeter: 5/4\ntune: G4 A2 B4 | c6 B4 | A4 F2 D4 | G10 |")}) {
    for (const int level : {1, 2, 3, 4, 6}) {
      const Harmonisation harmony = harmonise(tune_of_text(text), MeterMap(), at_level(level));
      std::set<std::string> others;
      for (const HarmonyChoice& choice : harmony.choices) {
        std::set<std::string> names;
        for (const std::string& name : chord_names(choice.analysis)) names.insert(name);
        const bool news = !std::includes(others.begin(), others.end(), names.begin(), names.end());
        if (choice.kind == HarmonyKind::surprise || choice.kind == HarmonyKind::other_way) {
          EXPECT_EQ(news, choice.kind == HarmonyKind::surprise) << text << " at level " << level;
        }
        others.merge(names);
      }
    }
  }
}

TEST(Harmoniser, TwelveKeysGetTheSameChordsMoved) {
  const Tune tune = tune_of_text(little_tune);
  const Harmonisation home = harmonise(tune, MeterMap(), at_level(6));
  for (int up = 1; up < 12; ++up) {
    const Harmonisation there = harmonise(moved(tune, up), MeterMap(), at_level(6));
    ASSERT_EQ(there.choices.size(), home.choices.size());
    for (std::size_t c = 0; c < home.choices.size(); ++c) {
      const auto& a = home.choices[c].analysis.chords;
      const auto& b = there.choices[c].analysis.chords;
      ASSERT_EQ(a.size(), b.size()) << up;
      for (std::size_t i = 0; i < a.size(); ++i) {
        EXPECT_EQ((a[i].timed.chord->root.semitone() + up) % 12, b[i].timed.chord->root.semitone());
        EXPECT_EQ(a[i].timed.chord->type, b[i].timed.chord->type);
        EXPECT_EQ(a[i].timed.start, b[i].timed.start);
      }
    }
  }
}

TEST(Harmoniser, OwnChordsAloneAreUsed) {
  HarmonyRequest request = at_level(3);
  for (const char* name : {"C", "Am", "F", "G"}) request.own.push_back(*parse_chord(name));
  const Harmonisation harmony = harmonise(tune_of_text(little_tune), MeterMap(), request);
  ASSERT_GE(harmony.choices.size(), 2U);
  for (const HarmonyChoice& choice : harmony.choices) {
    for (const std::string& name : chord_names(choice.analysis)) {
      EXPECT_TRUE((std::set<std::string>{"C", "Am", "F", "G"}.contains(name))) << name;
    }
  }
  const HarmonyChoice* round = choice_of(harmony, HarmonyKind::own_round);
  ASSERT_NE(round, nullptr);
  EXPECT_EQ(chord_names(round->analysis), (std::vector<std::string>{"C", "Am", "F", "G", "C", "Am", "F", "G"}));
}

TEST(Harmoniser, UpbeatsAndChangesOfMeter) {
  Tune tune = tune_of_text("G4 C5 - E5 D5 C5 - B4 C5 - -", Beats(1), Beats(-1));
  const Harmonisation waltz = harmonise(tune, MeterMap(Meter{3, 4}), at_level(2));
  ASSERT_FALSE(waltz.choices.empty());
  EXPECT_EQ(waltz.choices.front().analysis.timeline.bars, 4);
  EXPECT_EQ(waltz.choices.front().analysis.chords.front().timed.start, Beats(0));
  MeterMap meters(Meter{3, 4});
  meters.change(2, Meter{4, 4});
  const Harmonisation changed = harmonise(tune, meters, at_level(2));
  EXPECT_EQ(changed.choices.front().analysis.timeline.meters.at(2), (Meter{4, 4}));
  EXPECT_EQ(changed.choices.front().analysis.timeline.bars, 3);
}

TEST(Harmoniser, NothingForATuneWithoutBars) {
  EXPECT_TRUE(harmonise({}, MeterMap()).choices.empty());
  EXPECT_TRUE(harmonise(tune_of_text("G4 A4", Beats(1), Beats(-2)), MeterMap()).choices.empty());
}

// The search against all combinations, in a tune short enough to try them.
TEST(HarmonyPath, CostsNoMoreThanAnyOtherPath) {
  const Key key;
  HarmonyLimits limits;
  const auto palette = palette_of(key, limits);
  const auto spans = tune_spans(tune_of_text("C4 E4 A4 F4 B4 D5 G#4 - C5 - - -"), MeterMap(), SpanSize::bar);
  ASSERT_EQ(spans.size(), 3U);
  const HarmonyPath best = harmony_path(spans, palette, key);
  // A palette of one chord a span makes the search cost that very path.
  for (std::size_t a = 0; a < palette.size(); ++a) {
    for (std::size_t b = 0; b < palette.size(); ++b) {
      std::vector<PaletteChord> two{palette[a]};
      if (b != a) two.push_back(palette[b]);
      EXPECT_GE(harmony_path(spans, two, key).cost, best.cost);
    }
  }
}

TEST(TuneKey, MajorAndMinorInTwelveKeys) {
  const Tune major = tune_of_text(little_tune);
  const Tune minor = tune_of_text("A4 C5 E5 C5 D5 F5 E5 - E5 D5 C5 B4 A4 B4 C5 D5 E5 - G#4 B4 A4 - - -");
  for (int up = 0; up < 12; ++up) {
    const auto first = find_tune_key(moved(major, up), MeterMap());
    EXPECT_EQ(first.front().key.tonic.semitone(), up);
    EXPECT_EQ(first.front().key.mode, Mode::major);
    const auto second = find_tune_key(moved(minor, up), MeterMap());
    EXPECT_EQ(second.front().key.tonic.semitone(), (9 + up) % 12);
    EXPECT_EQ(second.front().key.mode, Mode::minor);
    double sum = 0;
    for (const TuneKeyGuess& guess : second) sum += guess.confidence;
    EXPECT_NEAR(sum, 1.0, 1e-9);
  }
}

TEST(HarmonyReason, SaysWhatIsSo) {
  const Harmonisation harmony = harmonise(tune_of_text(little_tune), MeterMap(), at_level(6));
  for (const HarmonyChoice& choice : harmony.choices) {
    const auto& chords = choice.analysis.chords;
    const std::size_t at = choice.reason.find(" is the dominant of ");
    if (at != std::string::npos) {
      bool found = false;
      for (std::size_t i = 0; i + 1 < chords.size(); ++i) {
        const Chord& here = *chords[i].timed.chord;
        const Chord& next = *chords[i + 1].timed.chord;
        found =
            found || (choice.reason.find(to_string(here) + " in bar " + std::to_string(chords[i].timed.bar) +
                                         " is the dominant of " + to_string(next) + ",") != std::string::npos &&
                      (here.root.semitone() + 5) % 12 == next.root.semitone() && here.type.has(intervals::major_third));
      }
      EXPECT_TRUE(found) << choice.reason;
    }
    EXPECT_TRUE(choice.kind == HarmonyKind::plain || choice.reason.find(" alone.") == std::string::npos);
    const bool last_is_perfect =
        !choice.analysis.cadences.empty() && choice.analysis.cadences.back().kind == CadenceKind::authentic;
    EXPECT_EQ(last_is_perfect || choice.reason.find("perfect cadence") == std::string::npos, true) << choice.reason;
  }
}

}  // namespace
}  // namespace romanesca
