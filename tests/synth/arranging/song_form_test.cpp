#include "synth/arranging/song_form.h"

#include <gtest/gtest.h>

#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

struct Piece {
  Progression progression;
  Timeline line;
};

Piece piece(const std::string& text) {
  auto parsed = parse_progression(text, "t");
  EXPECT_TRUE(parsed) << text;
  Timeline line = timeline(*parsed, {});
  return {std::move(*parsed), std::move(line)};
}

Score plan(const Piece& piece, const FormRequest& request, int times = 1) {
  const std::vector<Timeline> rounds(static_cast<std::size_t>(times), piece.line);
  return plan_form(rounds, piece.progression.sections, piece.progression.tempo_bpm.value_or(90), request);
}

std::string chords_of(const Score& score) {
  std::string text;
  for (const ScoreChord& chord : score.chords) text += to_string(chord.chord) + " ";
  return text;
}

const char* const four_sections =
    "tempo: 90\n[Intro]\n| C | G |\n[Verse]\n| C | Am | F | G |\n[Chorus]\n| F | G | C | C |\n[Bridge]\ntempo: 60\n| "
    "Am |\n";

TEST(SongForm, SectionNamesChooseTheIntensity) {
  const Score score = plan(piece(four_sections), {});
  ASSERT_EQ(score.bars.size(), 11U);
  EXPECT_EQ(score.bars[0].intensity, Intensity::soft);
  EXPECT_EQ(score.bars[2].intensity, Intensity::medium);
  EXPECT_EQ(score.bars[6].intensity, Intensity::full);
  EXPECT_EQ(score.bars[10].intensity, Intensity::soft);
  EXPECT_EQ(intensity_of("CHORUS 2"), Intensity::full);
  EXPECT_EQ(intensity_of("Pre-chorus"), Intensity::medium);
  FormRequest same;
  same.intensity = Intensity::full;
  for (const ScoreBar& bar : plan(piece(four_sections), same).bars) EXPECT_EQ(bar.intensity, Intensity::full);
}

TEST(SongForm, AFillLeadsToAnotherSection) {
  std::string fills;
  for (const ScoreBar& bar : plan(piece(four_sections), {}).bars)
    fills += bar.fill ? "f" : bar.section_start ? "s" : ".";
  EXPECT_EQ(fills, "sfs..fs..fs");
  // A four-bar loop is left alone; played on, every eighth bar leads back.
  fills.clear();
  for (const ScoreBar& bar : plan(piece("C Am F G"), {}, 4).bars) fills += bar.fill ? "f" : ".";
  EXPECT_EQ(fills, ".......f.......f");
}

TEST(SongForm, TemposOfSectionsAndRitardando) {
  const Score score = plan(piece(four_sections), {});
  ASSERT_EQ(score.tempos.size(), 2U);
  EXPECT_EQ(score.tempos[1].at, Beats(40));
  EXPECT_DOUBLE_EQ(score.tempos[1].factor, 60.0 / 90);
  FormRequest request;
  request.ending = Ending::slow;
  request.home = *parse_chord("C");
  const Score slow = plan(piece("| C | Am | F | G |"), request);
  EXPECT_EQ(chords_of(slow), "C Am F G C ");
  EXPECT_TRUE(slow.bars.back().held);
  ASSERT_EQ(slow.tempos.size(), 9U);
  EXPECT_EQ(slow.tempos[1].at, Beats(8));
  for (std::size_t i = 1; i < slow.tempos.size(); ++i) EXPECT_LT(slow.tempos[i].factor, slow.tempos[i - 1].factor);
}

TEST(SongForm, APieceThatEndsOnItsTonicHoldsIt) {
  FormRequest request;
  request.ending = Ending::hold;
  request.home = *parse_chord("C");
  const Score score = plan(piece("| F | G | C |"), request);
  EXPECT_EQ(chords_of(score), "F G C ");
  EXPECT_TRUE(score.bars.back().held);
  EXPECT_EQ(score.tempos.size(), 1U);
  // Two chords in the last bar: the last chord gets a bar of its own.
  EXPECT_EQ(chords_of(plan(piece("| F | G C |"), request)), "F G C C ");
}

TEST(SongForm, ATagPlaysTheTwoBarsBeforeTheLastChordThreeTimes) {
  FormRequest request;
  request.ending = Ending::tag;
  request.home = *parse_chord("C");
  EXPECT_EQ(chords_of(plan(piece("| C | F | G | C |"), request)), "C F G F G F G C ");
  EXPECT_EQ(chords_of(plan(piece("| C | F | Dm | G |"), request)), "C F Dm G Dm G Dm G C ");
  EXPECT_TRUE(plan(piece("| C | F | Dm | G |"), request).bars.back().held);
  EXPECT_EQ(chords_of(plan(piece("| C |"), request)), "C C ") << "too short for a tag";
}

TEST(SongForm, OtherEndings) {
  FormRequest request;
  request.home = *parse_chord("C");
  request.ending = Ending::button;
  EXPECT_TRUE(plan(piece("| F | G |"), request).bars.back().cut_short);
  request.ending = Ending::fade;
  const Score fading = plan(piece("| C | F | G | C |"), request, 4);
  EXPECT_EQ(fading.bars.size(), 16U);
  EXPECT_EQ(fading.fades_from, Beats(32));
  for (const char* word : {"none", "hold", "slow", "button", "tag", "fade", "own"})
    EXPECT_TRUE(parse_ending(word)) << word;
  EXPECT_FALSE(parse_ending("loud"));
}

TEST(SongForm, IntroIsTheFirstSectionsEnd) {
  FormRequest request;
  request.intro_bars = 2;
  const Score two = plan(piece("[Verse]\n| C | Am | F | G |\n[Chorus]\n| F |"), request);
  EXPECT_EQ(chords_of(two), "F G C Am F G F ");
  EXPECT_EQ(two.bars[0].intensity, Intensity::soft);
  EXPECT_EQ(two.bars[2].intensity, Intensity::medium);
  request.intro_bars = 6;
  EXPECT_EQ(chords_of(plan(piece("| C | Am | F | G |"), request)), "F G C Am F G C Am F G ");
}

TEST(SongForm, AnIntroBeginsWithTheDrums) {
  FormRequest request;
  request.drums_begin = true;
  request.intro_bars = 4;
  const Score four = plan(piece("| C | Am | F / / / | G |"), request);
  EXPECT_EQ(chords_of(four), "F G C Am F G ");
  EXPECT_EQ(four.chords.front().start, Beats(8));
  EXPECT_TRUE(four.bars[1].fill);
  EXPECT_EQ(four.bars[1].intensity, Intensity::medium);
  EXPECT_EQ(four.bars[2].intensity, Intensity::soft);
  EXPECT_EQ(four.bars.front().silent_until, Beats(0)) << "not a pick-up";
  request.intro_bars = 2;
  // A chord held into the second half is struck there.
  EXPECT_FALSE(plan(piece("| C | Am | F | / / / / |"), request).chords.front().held);
  request.intro_bars = 1;
  EXPECT_EQ(chords_of(plan(piece("| C | Am |"), request)), "Am C Am ");
}

TEST(SongForm, PickUpIsSilentUntilItsChord) {
  const Score score = plan(piece("| N.C. / / G7 | C | F |"), {});
  EXPECT_EQ(score.bars[0].silent_until, Beats(3));
  EXPECT_EQ(score.chords.front().start, Beats(3));
  EXPECT_EQ(plan(piece("| C | N.C. | F |"), {}).bars[0].silent_until, Beats(0));
  EXPECT_EQ(plan(piece("| N.C. | C |"), {}).bars[0].silent_until, Beats(0));
}

TEST(SongForm, TradingLeavesTheDrumsAlone) {
  FormRequest request;
  request.trade_bars = 2;
  const Score score = plan(piece("| C | Am | F | G | C | / / / / |"), request);
  EXPECT_EQ(chords_of(score), "C Am C C ");
  EXPECT_FALSE(score.bars[1].drums_alone);
  EXPECT_TRUE(score.bars[2].drums_alone);
  // What was held over the change of turns is struck again.
  request.trade_bars = 1;
  const Score turns = plan(piece("| C | F | / / / / |"), request);
  ASSERT_EQ(turns.chords.size(), 2U);
  EXPECT_FALSE(turns.chords[1].held);
}

TEST(SongForm, MetersAndTemposChangeWithTheirBars) {
  const Score score =
      plan(piece("tempo: 90\n| C | G |\nmeter: 3/4\ntempo: 120\n| C | F |\nmeter: 4/4\n| C |\n"), {}, 2);
  ASSERT_EQ(score.bars.size(), 10U);
  EXPECT_EQ(score.bars[2].start, Beats(8));
  EXPECT_EQ(score.bars[3].start, Beats(11));
  EXPECT_EQ(score.bars[4].start, Beats(14));
  EXPECT_EQ(score.bars[5].start, Beats(18)) << "the second round begins in the first meter";
  EXPECT_EQ(score.bars[7].meter, (Meter{3, 4}));
  EXPECT_EQ(score.length(), Beats(36));
  for (std::size_t i = 0; i < score.chords.size(); ++i) EXPECT_EQ(score.chords[i].start, score.bars[i].start);
  ASSERT_EQ(score.tempos.size(), 4U);
  EXPECT_EQ(score.tempos[1].at, Beats(8));
  EXPECT_DOUBLE_EQ(score.tempos[1].factor, 120.0 / 90);
  EXPECT_EQ(score.tempos[2].at, Beats(18));
  EXPECT_DOUBLE_EQ(score.tempos[2].factor, 1);
}

}  // namespace
}  // namespace romanesca
