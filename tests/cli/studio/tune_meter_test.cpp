// Beat, meter and bar lines of notes that were sung without a click.
#include "cli/studio/tune_meter.h"

#include <gtest/gtest.h>

#include <cmath>

#include "cli/studio/recording_tune.h"
#include "tests/measure/note_bank.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

struct WrittenNote {
  double length;  ///< quarters
  int midi;
};

/// Notes sung evenly. @param begin_s of the first
std::vector<VoiceNote> sung(const std::vector<WrittenNote>& notes, double quarters_per_minute, double begin_s = 0.7) {
  std::vector<VoiceNote> line;
  double at_s = begin_s;
  for (const WrittenNote& note : notes) {
    const double length_s = note.length * 60 / quarters_per_minute;
    line.push_back({at_s, at_s + 0.9 * length_s, note.midi, static_cast<double>(note.midi), true});
    at_s += length_s;
  }
  return line;
}

// Invented for these tests.
const std::vector<WrittenNote> walk{{1, 60},   {1, 62}, {1, 64}, {1, 60}, {1, 64}, {1, 65}, {2, 67}, {1, 67}, {0.5, 69},
                                    {0.5, 67}, {1, 65}, {1, 64}, {2, 62}, {2, 67}, {1, 60}, {1, 62}, {1, 64}, {1, 60},
                                    {1, 64},   {1, 65}, {2, 67}, {1, 69}, {1, 67}, {1, 65}, {1, 62}, {4, 60}};
const std::vector<WrittenNote> waltz{{1, 67}, {2, 72}, {1, 71}, {2, 69}, {1, 67}, {1, 69}, {1, 67}, {1, 65}, {2, 64},
                                     {1, 67}, {2, 65}, {1, 64}, {2, 62}, {1, 67}, {1, 65}, {1, 62}, {1, 59}, {3, 60}};

TEST(TuneBeat, OfFourIsFound) {
  const TuneBeat beat = find_tune_beat(sung(walk, 100), {});
  EXPECT_EQ(to_string(beat.meter), "4/4");
  EXPECT_NEAR(beat.tempo_bpm, 100, 2);
  EXPECT_NEAR(beat.notes.front().start, 0, 0.05);
  EXPECT_NEAR(beat.notes.back().start, 28, 0.1);
}

TEST(TuneBeat, OfThreeWithAnUpbeatIsFound) {
  const TuneBeat beat = find_tune_beat(sung(waltz, 120), {});
  EXPECT_EQ(to_string(beat.meter), "3/4");
  EXPECT_NEAR(beat.tempo_bpm, 120, 3);
  EXPECT_NEAR(std::remainder(beat.notes[1].start, 3), 0, 0.05);
}

TEST(TuneBeat, FollowsAVoiceThatSlowsDown) {
  std::vector<VoiceNote> notes = sung(walk, 104);
  for (VoiceNote& note : notes) {
    note.start_s += 0.004 * note.start_s * note.start_s;  // from 104 to about 90
    note.end_s += 0.004 * note.end_s * note.end_s;
  }
  const TuneBeat beat = find_tune_beat(notes, {});
  EXPECT_EQ(to_string(beat.meter), "4/4");
  EXPECT_NEAR(beat.notes.back().start, 28, 0.2);
}

TEST(TuneBeat, TakesWhatIsKnown) {
  const std::vector<VoiceNote> notes = sung(walk, 100);
  BeatHints twice;
  twice.tempo_bpm = 200;
  EXPECT_NEAR(find_tune_beat(notes, twice).tempo_bpm, 200, 5);
  BeatHints factor;
  factor.tempo_factor = 0.5;
  EXPECT_NEAR(find_tune_beat(notes, factor).tempo_bpm, 50, 2);
  BeatHints meter;
  meter.meter = Meter{3, 4};
  EXPECT_EQ(find_tune_beat(notes, meter).meter.upper, 3);
  BeatHints later;
  later.shift = 1;
  EXPECT_NEAR(find_tune_beat(notes, later).notes.front().start, 3, 0.05);
  BeatHints first;
  first.first_line_s = notes[1].start_s;
  EXPECT_NEAR(std::remainder(find_tune_beat(notes, first).notes[1].start, 4), 0, 0.1);
}

TEST(TuneBeat, OneNoteHasOneToo) {
  const TuneBeat beat = find_tune_beat(sung({{1, 60}}, 100), {});
  ASSERT_EQ(beat.notes.size(), 1U);
  EXPECT_GE(beat.notes.front().start, 0);
}

TEST(RecordedTune, OfTheOwnPianoIsWrittenDown) {
  const test::NoteBank piano = test::own_piano(80);
  std::vector<test::PlayedNote> notes;
  for (const VoiceNote& note : sung(walk, 96))
    notes.push_back({note.start_s, note.end_s - note.start_s, note.midi, 0.8});
  std::vector<float> sound(test::bank_samples(notes.back().at_s + 3));
  test::add_notes(sound, notes, piano);
  ChartRequest request;
  request.title = "Walk";
  const auto tune = tune_of_recording(sound, request);
  ASSERT_TRUE(tune) << tune.error().what();
  EXPECT_EQ(to_string(tune->song.progression.key->tonic), "C");
  const Tune written = tune_of(tune->song.progression, Key{});
  ASSERT_EQ(written.notes.size(), walk.size());
  Beats at;
  for (std::size_t i = 0; i < walk.size(); ++i) {
    EXPECT_EQ(written.notes[i].pitch.midi(), walk[i].midi) << i;
    EXPECT_NEAR(written.notes[i].start.quarters(), at.quarters(), 0.01) << i;
    at += Beats(static_cast<std::int64_t>(2 * walk[i].length), 2);
  }
  EXPECT_TRUE(tune->doubtful.empty());
}

TEST(RecordedTune, IsRefusedWhereThereIsNoSingleVoice) {
  EXPECT_NE(tune_of_recording(std::vector<float>(44100), {}).error().what(), nullptr);
  test::SceneRandom random(9);
  std::vector<float> noise(44100);
  for (float& sample : noise) sample = static_cast<float>(random.uniform(-0.3, 0.3));
  const auto tune = tune_of_recording(noise, {});
  ASSERT_FALSE(tune);
  EXPECT_NE(std::string(tune.error().what()).find("one voice"), std::string::npos);
}

}  // namespace
}  // namespace romanesca
