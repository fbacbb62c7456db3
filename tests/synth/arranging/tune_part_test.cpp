#include <gtest/gtest.h>

#include "synth/arranging/band_arrangement.h"
#include "theory/songs/song_reading.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

/// Two bars with an upbeat of a quarter; invented for these tests.
constexpr const char* tune_of_two_bars = "| C | G |\ntune: G,2 | C2 E2 G4 | B,4 D4 |\n";

/// Start in quarters and MIDI note of each note of the part "tune", swing and unevenness switched off.
std::string played_tune(int times, FormRequest form, int count_in) {
  const auto song = read_song(tune_of_two_bars, "song");
  EXPECT_TRUE(song) << song.error().message;
  const Timeline line = timeline(song->progression, Key{});
  const std::vector<Timeline> rounds(static_cast<std::size_t>(times), line);
  const std::vector<Tune> tunes(static_cast<std::size_t>(times), tune_of(song->progression, Key{}));
  form.home = *parse_chord("C");
  BandPlan plan{rounds, song->progression.sections, 100, form, {100, 0, 50, 1}, std::nullopt, false, count_in};
  plan.tune_parts = {{"tune", InstrumentId::clarinet, 0}};
  plan.tunes = tunes;
  const BandArrangement band = arrange_band(plan, *style_named("pop"));
  std::string text;
  for (const NoteEvent& event : band.arrangement.events) {
    if (band.arrangement.parts[event.part].name != "tune") continue;
    text += (text.empty() ? "" : " ") + std::to_string(static_cast<int>(event.start.quarters())) + ":" +
            std::to_string(event.midi);
  }
  return text;
}

TEST(TunePart, ALoopHasItsUpbeatInItsLastBar) { EXPECT_EQ(played_tune(1, {}, 0), "0:60 1:64 2:67 4:59 6:62 7:55"); }

TEST(TunePart, TheUpbeatSoundsInTheCountInAndBeforeEachRound) {
  FormRequest form;
  form.ending = Ending::slow;
  EXPECT_EQ(played_tune(2, form, 1), "3:55 4:60 5:64 6:67 8:59 10:62 11:55 12:60 13:64 14:67 16:59 18:62");
}

TEST(TunePart, RestsInAnIntroAndWhereTheDrumsAreAlone) {
  FormRequest form;
  form.intro_bars = 1;
  EXPECT_EQ(played_tune(1, form, 0).substr(0, 9), "3:55 4:60");
  form = {};
  form.trade_bars = 1;
  EXPECT_EQ(played_tune(1, form, 0), "0:60 1:64 2:67 7:55");  // the upbeat leads back to the band
}

TEST(TunePart, AHeldChordThatIsAddedHasNoTune) {
  FormRequest form;
  form.ending = Ending::hold;
  EXPECT_EQ(played_tune(1, form, 0), "0:60 1:64 2:67 4:59 6:62");
}

}  // namespace
}  // namespace romanesca
