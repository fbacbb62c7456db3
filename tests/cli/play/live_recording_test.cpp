#include "cli/play/live_recording.h"

#include <gtest/gtest.h>

namespace romanesca {
namespace {

constexpr std::int64_t second = 1'000'000'000;
const Key c_major{PitchClass(0), Mode::major};

MidiHeard down(std::int64_t at, int midi) { return {at, 0x90, static_cast<std::uint8_t>(midi), 80}; }
MidiHeard up(std::int64_t at, int midi) { return {at, 0x80, static_cast<std::uint8_t>(midi), 64}; }

void beats(LiveRecording& recording, int count, std::int64_t from, std::int64_t each, int first = 0) {
  for (int i = 0; i < count; ++i) {
    recording.add_beat(from + i * each, Beats((first + i) % 4), Beats(1), Beats(4));
  }
}

TEST(LiveRecording, NotesArePlacedByTheBeatsOfTheBand) {
  LiveRecording recording;
  beats(recording, 4, second, second / 2);
  beats(recording, 4, 3 * second, second);  // slower from the second bar on
  recording.add_chord(3 * second, "Am");
  recording.handle_message(down(second + second / 4, 60));
  recording.handle_message(up(second + second / 2, 60));
  recording.handle_message(down(4 * second + second / 2, 64));
  recording.handle_message(up(5 * second, 64));
  const MidiSong song = recording.song("Take", c_major, {4, 4}, 8 * second);
  ASSERT_EQ(song.performance.events.size(), 2U);
  EXPECT_EQ(song.performance.events[0].start, Beats(1, 2));
  EXPECT_EQ(song.performance.events[0].length, Beats(1, 2));
  EXPECT_EQ(song.performance.events[1].start, Beats(11, 2));
  EXPECT_EQ(song.markers.at(0).at, Beats(4));
  ASSERT_EQ(song.performance.tempo.tempos().size(), 2U);
  EXPECT_EQ(song.performance.tempo.tempos()[0].quarters_per_minute, 120);
  EXPECT_EQ(song.performance.tempo.tempos()[1].quarters_per_minute, 60);
  EXPECT_EQ(song.performance.tempo.tempos()[1].at, Beats(4));
}

TEST(LiveRecording, AfterAStopTheNextBarBeginsAtABarLine) {
  LiveRecording recording;
  beats(recording, 2, second, second / 2);       // stopped after two beats
  beats(recording, 4, 10 * second, second / 2);  // started again
  recording.handle_message(down(10 * second, 60));
  recording.handle_message(up(10 * second + second / 2, 60));
  const MidiSong song = recording.song("Take", c_major, {4, 4}, 12 * second);
  EXPECT_EQ(song.performance.events.at(0).start, Beats(4));
}

TEST(LiveRecording, ThePedalHoldsNotesAndTheEndStopsThem) {
  LiveRecording recording;
  beats(recording, 8, 0, second / 2);
  recording.handle_message({0, 0xB0, 64, 127});
  recording.handle_message(down(0, 60));
  recording.handle_message(up(second / 4, 60));
  recording.handle_message({second, 0xB0, 64, 0});
  recording.handle_message(down(second, 64));
  const MidiSong song = recording.song("Take", c_major, {4, 4}, 2 * second);
  EXPECT_EQ(song.performance.events.at(0).length, Beats(2));
  EXPECT_EQ(song.performance.events.at(1).length, Beats(2)) << "still down when the music ended";
}

TEST(LiveRecording, IsEmptyIfNothingIsPlayed) {
  LiveRecording recording;
  beats(recording, 4, 0, second);
  recording.handle_message(up(0, 60));
  EXPECT_TRUE(recording.empty());
}

}  // namespace
}  // namespace romanesca
