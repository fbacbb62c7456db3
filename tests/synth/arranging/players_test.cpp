// The players vary what they play as people do, and keep what makes the groove. The limits are those of the project's
// own aims; the sources of the models stand where they are declared.
#include <gtest/gtest.h>

#include "synth/arranging/walking_bass.h"
#include "tests/measure/playing.h"

namespace romanesca {
namespace {

using namespace test;

TEST(Players, MostBarsDifferFromFourBarsBefore) {
  double drums_all = 0;
  double comp_all = 0;
  for (const Style& style : styles()) {
    double drums = 0;
    double comp = 0;
    for (const std::uint32_t seed : {1U, 2U, 3U}) {
      const Arrangement piece = played(style, seed, 0);
      drums += percent_changed(onsets(piece, style, is_drums)) / 3;
      comp += percent_changed(onsets(piece, style, is_comping)) / 3;
    }
    EXPECT_GE(drums, 60) << style.id;
    EXPECT_GE(comp, 60) << style.id;
    drums_all += drums;
    comp_all += comp;
  }
  EXPECT_GE(drums_all / static_cast<double>(styles().size()), 75);
  EXPECT_GE(comp_all / static_cast<double>(styles().size()), 75);
}

TEST(Players, KickAndSnareStayOnTheirBeats) {
  double all = 0;
  for (const Style& style : styles()) {
    const double kept = percent_of_skeleton(onsets(played(style, 1, 0), style, is_drums), style);
    EXPECT_GE(kept, 78) << style.id;
    all += kept;
  }
  EXPECT_GE(all / static_cast<double>(styles().size()), 90);
}

TEST(Players, AnotherSeedIsAnotherPerformance) {
  for (const Style& style : styles()) {
    EXPECT_EQ(played(style, 1, 0).events, played(style, 1, 0).events) << style.id;
    EXPECT_NE(played(style, 1, 0).events, played(style, 2, 0).events) << style.id;
  }
}

/// Exactly on the grid of the style or of a fill, whatever the seed: a strum's strings follow within 28 ms.
TEST(Players, WithoutUnevennessDrumsAreOnTheGrid) {
  for (const Style& style : styles()) {
    const Arrangement piece = arrange(
        plan_form(std::vector<Timeline>(4, timeline(*parse_progression("| C | F | G | C |", "t"), {})), {}, 90, {}),
        style, {style.usual_bpm, 0, 50, 3});
    for (const NoteEvent& event : piece.events) {
      if (!is_drums(piece.parts[event.part])) continue;
      EXPECT_EQ(12 % event.start.denominator(), 0) << style.id;
    }
  }
}

// Deviations of a drummer are correlated over many strokes (Hennig et al. 2011): white noise would have 0, and a slow
// drift alone nearly 1.
TEST(Players, DeviationsAreCorrelatedAndSmall) {
  double lag_1 = 0;
  int parts = 0;
  for (const Style& style : styles()) {
    const Arrangement exact = played(style, 1, 0);
    const Arrangement human = played(style, 1, 100);
    for (std::size_t part = 0; part < exact.parts.size(); ++part) {
      const auto found = deviations(exact, human, part, quarter_ms(style));
      if (!found) continue;
      const std::string where = style.id + " " + exact.parts[part].name;
      EXPECT_GE(found->sd_ms, 5) << where;
      EXPECT_LE(found->sd_ms, 17) << where;
      EXPECT_GE(found->lag_1, 0.15) << where;  // two strokes a bar: an estimate from 64 of them, good to about 0.12
      EXPECT_LE(found->lag_1, 0.95) << where;
      EXPECT_LT(found->lag_4, found->lag_1) << where;
      EXPECT_NEAR(found->mean_ms, style.parts[part].lean_ms, 2) << where;
      lag_1 += found->lag_1;
      ++parts;
    }
  }
  EXPECT_GE(lag_1 / parts, 0.5);
}

TEST(Players, FillsAreOfOneBeatTwoBeatsAndABar) {
  EXPECT_EQ(fill_families().size(), fill_texts().size());
  for (const EmbeddedText& file : fill_texts()) {
    const auto family = read_fills(file);
    ASSERT_TRUE(family) << file.name << ":" << family.error().place.line << ": " << family.error().message;
    std::map<int, int> counts;
    int builds = 0;
    for (const DrumFill& fill : family->fills) {
      ++counts[std::min(fill.pulses, 3)];
      builds += fill.build ? 1 : 0;
    }
    for (const int length : {1, 2, 3}) EXPECT_GE(counts[length], 3) << file.name << " " << length;
    EXPECT_GE(builds, 1) << file.name;
  }
}

TEST(Players, FillErrorsHaveAPosition) {
  const auto bad = [](const std::string& text) {
    const auto family = read_fills({"bad", text});
    return family ? "" : std::to_string(family.error().place.line) + ": " + family.error().message;
  };
  EXPECT_EQ(bad("steps_per_beat = 4\n[a]\nsnare = \"xxx\"\n"),
            "3: 3 steps do not fill whole beats of 4, as long as the other rows");
  EXPECT_EQ(bad("steps_per_beat = 4\n[a]\nsnare = \"xxxx\"\nkick = \"x... ....\"\n"),
            "4: 8 steps do not fill whole beats of 4, as long as the other rows");
  EXPECT_EQ(bad("steps_per_beat = 4\n[a]\ngong = \"x...\"\n"), "3: unknown drum \"gong\"");
  EXPECT_EQ(bad("steps_per_beat = 4\n[a]\nsnare = \"x?..\"\n"), "3: unknown sign \"?\" for a fill");
  EXPECT_EQ(bad("[a]\nsnare = \"x...\"\n"), "1: steps_per_beat must be 1 to 12");
  EXPECT_EQ(bad("steps_per_beat = 4\n"), "1: the file has no fill");
}

/// A fill ends its bar, longer before a louder section than within one.
TEST(Players, ALouderSectionIsLedInto) {
  const auto song = parse_progression("[Verse]\n| C | F | G | C |\n[Chorus]\n| F | G | C | C |\n", "t");
  const Timeline line = timeline(*song, {});
  const Score score = plan_form({&line, 1}, song->sections, 90, {});
  EXPECT_TRUE(score.bars[3].leads_up);
  EXPECT_FALSE(score.bars[7].leads_up);
  const Style& rock = *style_named("rock");
  const Arrangement piece = arrange(score, rock, {124, 0, std::nullopt, 1});
  std::set<int> toms_and_snare;
  bool crash = false;
  for (const NoteEvent& event : piece.events) {
    if (!is_drums(piece.parts[event.part])) continue;
    if (event.start >= Beats(12) && event.start < Beats(16) && event.midi != 42) toms_and_snare.insert(event.midi);
    crash = crash || (event.start == Beats(16) && event.midi == 49);
  }
  EXPECT_GE(toms_and_snare.size(), 2U);
  EXPECT_TRUE(crash);
}

/// Before a louder section all pitched parts stop together with some seeds, and with others none does.
TEST(Players, SomeLouderSectionsComeAfterABreak) {
  const auto song = parse_progression("[Verse]\n| C | F | G | C |\n[Chorus]\n| F | G | C | C |\n", "t");
  const Timeline line = timeline(*song, {});
  int breaks = 0;
  for (std::uint32_t seed = 1; seed <= 24; ++seed) {
    const Arrangement piece =
        arrange(plan_form({&line, 1}, song->sections, 90, {}), *style_named("rock"), {124, 0, std::nullopt, seed});
    int late = 0;
    for (const NoteEvent& event : piece.events) {
      if (is_drums(piece.parts[event.part])) continue;
      late += event.start >= Beats(14) && event.start < Beats(16) ? 1 : 0;
    }
    breaks += late == 0 ? 1 : 0;
  }
  EXPECT_GE(breaks, 3);
  EXPECT_LE(breaks, 16);
}

// Friberg and Sundstrom 2002: the slower the more uneven. At its usual tempo a style swings as it says.
TEST(Players, SwingFollowsTheTempo) {
  EXPECT_EQ(swing_at_tempo(64, 132, 132), 64);
  EXPECT_EQ(swing_at_tempo(50, 132, 60), 50);
  EXPECT_NEAR(swing_at_tempo(64, 132, 90), 67, 1);
  EXPECT_LE(swing_at_tempo(64, 132, 220), 55);
  EXPECT_GE(swing_at_tempo(64, 132, 300), 50);
  for (int bpm = 60; bpm < 320; bpm += 10)
    EXPECT_LE(swing_at_tempo(64, 132, bpm + 10), swing_at_tempo(64, 132, bpm)) << bpm;
}

std::vector<NoteEvent> bass_of(const Arrangement& arrangement) {
  std::vector<NoteEvent> events;
  for (const NoteEvent& event : arrangement.events) {
    if (arrangement.parts[event.part].name == "bass") events.push_back(event);
  }
  return events;
}

Arrangement walked(const char* chords, std::uint32_t seed) {
  const auto song = parse_progression(chords, "t");
  const Timeline line = timeline(*song, {});
  const std::vector<Timeline> rounds(4, line);
  return arrange(plan_form(rounds, {}, 132, {}), *style_named("jazz-swing"), {132, 0, 50, seed});
}

// What bass methods teach (Friedland 1993, Reid 1974; from memory): no note twice in a row, no going to and fro between
// two notes, a leap is at most an octave, the bass at every change, chord tones on strong beats.
TEST(WalkingBass, AsMethodsTeach) {
  const char* const chords = "| Dm7 | G7 | Cmaj7 | Cmaj7 | Fm7 Bb7 | Ebmaj7 | Am7b5 D7 | Gm7 G7 |";
  const auto song = parse_progression(chords, "t");
  const Timeline line = timeline(*song, {});
  int approached = 0;
  int changes = 0;
  int turns = 0;
  int moves = 0;
  std::set<int> pitches;
  for (std::uint32_t seed = 1; seed <= 20; ++seed) {
    const auto bass = bass_of(walked(chords, seed));
    for (std::size_t i = 0; i < bass.size(); ++i) {
      pitches.insert(bass[i].midi);
      const Beats place = bass[i].start - line.length() * whole_times(bass[i].start, line.length());
      const auto chord = std::find_if(line.chords.begin(), line.chords.end(), [&](const TimedChord& each) {
        return each.start <= place && place < each.start + each.length;
      });
      const bool changed =
          chord->start == place && !(chord != line.chords.begin() && (chord - 1)->chord == chord->chord);
      if (changed) {
        EXPECT_EQ(bass[i].midi % 12, chord->chord->bass.semitone()) << "seed " << seed << " note " << i;
      }
      if (i == 0) continue;
      const int leap = std::abs(bass[i].midi - bass[i - 1].midi);
      EXPECT_NE(leap, 0) << "seed " << seed << " note " << i;
      EXPECT_LE(leap, 12) << "seed " << seed << " note " << i;
      changes += changed ? 1 : 0;
      approached += changed && leap <= 2 ? 1 : 0;
      if (i < 3) continue;
      EXPECT_FALSE(bass[i].midi == bass[i - 2].midi && bass[i - 1].midi == bass[i - 3].midi)
          << "to and fro, seed " << seed << " note " << i;
      const bool turned = (bass[i].midi > bass[i - 1].midi) != (bass[i - 1].midi > bass[i - 2].midi);
      turns += turned ? 1 : 0;
      ++moves;
    }
  }
  EXPECT_GE(approached, changes * 8 / 10);
  EXPECT_LE(turns, moves * 6 / 10) << "a line keeps its direction";
  EXPECT_GE(*pitches.rbegin() - *pitches.begin(), 15) << "more than an octave";
  EXPECT_LE(*pitches.rbegin() - *pitches.begin(), 23);
}

TEST(WalkingBass, StrongBeatsHaveChordTones) {
  const char* const chords = "| Dm7 | G7 | Cmaj7 | Am7 |";
  const auto song = parse_progression(chords, "t");
  const Timeline line = timeline(*song, {});
  for (std::uint32_t seed = 1; seed <= 20; ++seed) {
    for (const NoteEvent& event : bass_of(walked(chords, seed))) {
      const Beats in_bar = event.start - Beats(4) * whole_times(event.start, Beats(4));
      if (in_bar != Beats(0) && in_bar != Beats(2)) continue;
      const auto bar = static_cast<std::size_t>(whole_times(event.start, Beats(4))) % 4;
      EXPECT_NE(line.chords[bar].chord->sounding_tones() >> (event.midi % 12U) & 1U, 0U) << seed;
    }
  }
}

// Three notes, as in methods for rhythm guitar (common practice, no source): root, and third and seventh.
TEST(GuitarShell, KnownChords) {
  const auto shell = [](const char* symbol) {
    std::string text;
    for (const Pitch& note : guitar_shell(*parse_chord(symbol))) text += (text.empty() ? "" : " ") + to_string(note);
    return text;
  };
  EXPECT_EQ(shell("G7"), "G2 F3 B3");
  EXPECT_EQ(shell("Cmaj7"), "C3 E3 B3");
  EXPECT_EQ(shell("Dm7"), "D3 F3 C4");
  EXPECT_EQ(shell("Am"), "A2 E3 C4");
}

}  // namespace
}  // namespace romanesca
