#include "synth/files/soundfont_player.h"

#include <gtest/gtest.h>

#include "tests/measure/sine_soundfont.h"
#include "tests/measure/sound_meter.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

using test::FontFile;
using test::sine_font;

Performance one_note() {
  Performance piece;
  piece.tempo = TempoMap(60);
  piece.length = Beats(2);
  piece.parts = {{"keys", InstrumentId::piano, 0, false}, {"more", InstrumentId::organ, 0, false}};
  piece.events = {{Beats(1), Beats(1), 69, 100, 0}};
  return piece;
}

std::vector<float> render(SoundSource& source, std::size_t frames) {
  std::vector<float> left(frames), right(frames);
  for (std::size_t at = 0; at < frames; at += 1000) source.render({left.data() + at, right.data() + at, 1000});
  return left;
}

TEST(SoundFontPlayer, PlaysTheNoteInTuneAndOnTime) {
  const FontFile font(sine_font());
  SoundFontPlayer player(one_note(), font.path, {});
  EXPECT_EQ(player.length_frames(), 96000);
  EXPECT_EQ(player.lead_in_frames(), 0);
  const auto sound = render(player, 96000);
  EXPECT_NEAR(static_cast<double>(test::onset(sound)), 48000, 96);
  EXPECT_NEAR(test::cents_off(std::span<const float>(sound).subspan(60000, 30000), 440, 48000), 0, 1);
  EXPECT_FALSE(player.finished());
  render(player, 48000 * 6);
  EXPECT_TRUE(player.finished());
}

TEST(SoundFontPlayer, GainsAndMutes) {
  const FontFile font(sine_font());
  const auto level = [&](float gain_db, bool muted) {
    Performance piece = one_note();
    piece.parts[0].gain_db = gain_db;
    piece.parts[0].muted = muted;
    SoundFontPlayer player(piece, font.path, {});
    return test::level_db(std::span<const float>(render(player, 96000)).subspan(60000, 30000));
  };
  EXPECT_NEAR(level(-6, false), level(0, false) - 6, 0.3);
  EXPECT_LT(level(0, true), -90);
}

TEST(SoundFontPlayer, ALoopHasALeadIn) {
  const FontFile font(sine_font());
  SoundFontPlayer player(one_note(), font.path, {48000, true});
  EXPECT_GE(player.lead_in_frames(), 48000 * 9);
  render(player, static_cast<std::size_t>(player.lead_in_frames()));
  // The note of the round before still rings when the first frame comes.
  EXPECT_GT(test::level_db(render(player, 4000)), -80);
}

/// Block length is not audible: the offset is removed in blocks on a fixed grid.
TEST(SoundFontPlayer, BlocksOfAnyLengthGiveTheSame) {
  const FontFile font(sine_font(8000));
  SoundFontPlayer whole(one_note(), font.path, {});
  SoundFontPlayer cut(one_note(), font.path, {});
  const auto expected = render(whole, 96000);
  std::vector<float> left(96000), right(96000);
  std::size_t at = 0;
  for (std::size_t length = 1; at < left.size(); length = length * 7 % 997 + 1) {
    const std::size_t count = std::min(length, left.size() - at);
    cut.render({left.data() + at, right.data() + at, count});
    at += count;
  }
  EXPECT_EQ(left, expected);
}

TEST(SoundFontPlayer, ReportsWhatIsMissing) {
  EXPECT_THROW(SoundFontPlayer(one_note(), "/no/such/font.sf2", {}), SystemError);
  const FontFile broken("RIFF of another kind");
  try {
    const SoundFontPlayer player(one_note(), broken.path, {});
    FAIL();
  } catch (const SystemError& error) {
    EXPECT_EQ(std::string(error.what()), broken.path + " is not a SoundFont");
  }
}

}  // namespace
}  // namespace romanesca
