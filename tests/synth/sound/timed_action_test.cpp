#include "synth/sound/timed_action.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

Performance short_loop() {
  Performance piece;
  piece.tempo = TempoMap(97);
  piece.length = Beats(4);
  piece.parts = {{"keys", InstrumentId::piano, 0, false}, {"pad", InstrumentId::pad, 0, false}};
  piece.events = {
      {Beats(0), Beats(1), 60, 80, 0}, {Beats(7, 3), Beats(1, 2), 64, 70, 0}, {Beats(3), Beats(3), 67, 60, 1}};
  return piece;
}

TEST(ActionList, WithoutALoopThereIsNoLeadIn) {
  const ActionList list = list_actions(short_loop(), 48000, false);
  EXPECT_EQ(list.first_frame, 0);
  EXPECT_EQ(list.actions.size(), 6U);
  EXPECT_EQ(list.length_frames, std::llround(4 * 60.0 / 97 * 48000));
}

// Every round before the first frame has the notes of the piece, a whole length earlier and with the same seeds.
TEST(ActionList, TheLeadInIsTheRoundsBefore) {
  const ActionList list = list_actions(short_loop(), 48000, true);
  EXPECT_LE(list.first_frame, -48000 * 9);
  EXPECT_EQ(list.first_frame % static_cast<std::int64_t>(block_frames), 0);
  std::map<std::uint32_t, std::vector<std::int64_t>> downs;
  for (const TimedAction& action : list.actions) {
    EXPECT_GE(action.frame, list.first_frame);
    if (action.down) downs[action.seed].push_back(action.frame);
  }
  EXPECT_EQ(downs.size(), 3U);
  for (const auto& [seed, frames] : downs) {
    EXPECT_GE(frames.size(), 5U);
    EXPECT_GE(frames.back(), 0);
    for (std::size_t i = 2; i < frames.size(); ++i) EXPECT_EQ(frames[i] - frames[i - 1], list.length_frames);
  }
}

// A key struck again while it is held: it goes up for the later note only.
TEST(ActionList, AHeldKeyIsNotReleasedByAnEarlierNote) {
  Performance piece = short_loop();
  piece.events = {{Beats(3), Beats(3), 67, 60, 1}, {Beats(0), Beats(4), 67, 60, 1}};
  const ActionList list = list_actions(piece, 48000, true);
  int held = 0;
  std::int64_t went_up = 0;
  for (const TimedAction& action : list.actions) {
    if (action.frame > 0 && !action.down && went_up == 0) went_up = action.frame;
    if (action.frame <= 0) held += action.down ? 1 : 0;
  }
  EXPECT_GT(held, 4);
  // The note from the third beat of the round before would have ended at the second; the new one holds on.
  EXPECT_GT(went_up, TempoMap(97).frame_at(Beats(3), 48000));
}

TEST(ActionList, MutedAndMissingPartsAreLeftOut) {
  Performance piece = short_loop();
  piece.parts[0].muted = true;
  piece.events.push_back({Beats(0), Beats(1), 60, 100, 99});
  EXPECT_EQ(list_actions(piece, 48000, false).actions.size(), 2U);
}

}  // namespace
}  // namespace romanesca
