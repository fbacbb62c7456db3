// One voice: pitch, notes and where they begin. Sounds are made here: sines, the project's own piano, a synthetic
// singer.
#include "synth/hearing/voice_notes.h"

#include <gtest/gtest.h>

#include <cmath>

#include "synth/hearing/voice_pitch.h"
#include "tests/measure/other_sounds.h"
#include "tests/measure/room_scene.h"
#include "tests/measure/sung_tune.h"
#include "tests/measure/synthetic_singer.h"

namespace romanesca {
namespace {

/// Harmonics whose amplitudes fall as 1, 1/2, 1/3; without the first where @p bass is false.
std::vector<float> steady(double midi, double seconds, bool bass = true) {
  std::vector<float> sound(test::bank_samples(seconds));
  const double hz = test::frequency_of(0) * std::exp2(midi / 12);
  for (std::size_t i = 0; i < sound.size(); ++i) {
    for (int k = bass ? 1 : 2; k <= 8 && k * hz < 9000; ++k)
      sound[i] += static_cast<float>(0.2 / k * std::sin(2 * M_PI * k * hz * static_cast<double>(i) / hearing_rate_hz));
  }
  return sound;
}

TEST(VoicePitch, IsRightWithinFiveCentsFromLowToHigh) {
  for (const double midi : {38.0, 45.3, 52.0, 60.49, 69.0, 76.7, 84.0, 93.0}) {
    const std::vector<PitchFrame> frames = voice_pitch(steady(midi, 0.6));
    for (std::size_t i = 10; i < frames.size() - 10; ++i) {
      ASSERT_TRUE(frames[i].voiced) << midi << " frame " << i;
      EXPECT_NEAR(static_cast<double>(frames[i].midi), midi, 0.05) << "frame " << i;
    }
  }
}

TEST(VoicePitch, NeedsNoFundamental) {  // a telephone leaves it out
  const std::vector<PitchFrame> frames = voice_pitch(steady(45, 0.6, false));
  for (std::size_t i = 10; i < frames.size() - 10; ++i)
    EXPECT_NEAR(static_cast<double>(frames[i].midi), 45, 0.05) << "frame " << i;
}

TEST(VoicePitch, NoiseAndSilenceHaveNone) {
  test::SceneRandom random(3);
  for (const std::vector<float>& sound : {test::pink_noise(22050, random), std::vector<float>(22050)}) {
    int voiced = 0;
    for (const PitchFrame& frame : voice_pitch(sound)) voiced += frame.voiced ? 1 : 0;
    EXPECT_LE(voiced, 2);
  }
}

test::NoteScore score_of(bool sung, bool telephone, int tunes) {
  static const test::NoteBank piano = test::own_piano(80);
  test::NoteScore score;
  for (int i = 0; i < tunes; ++i) {
    test::SceneRandom random(71 + static_cast<std::uint64_t>(i));
    const test::SungTune tune = test::random_tune(random, 0);
    std::vector<float> dry(test::bank_samples(tune.length_s + 0.5));
    std::vector<test::TrueNote> notes;
    if (sung) {
      const test::SungBeginnings begins = test::add_sung_notes(dry, tune.notes, {}, random);
      for (std::size_t k = 0; k < tune.notes.size(); ++k)
        notes.push_back({begins.all_s[k], begins.pitches[k], tune.notes[k].midi});
    } else {
      test::add_notes(dry, tune.notes, piano);
      for (const test::PlayedNote& note : tune.notes)
        notes.push_back({note.at_s, static_cast<double>(note.midi), note.midi});
    }
    test::RoomSettings room;
    room.telephone = telephone;
    score.add(notes_of_voice(telephone ? test::through_room(dry, room, random) : dry).notes, notes);
  }
  return score;
}

// A sample of tests/measure/tune_figures, on other seeds. Aim: F 0.9 within 50 ms and 50 cents.
TEST(VoiceNotes, OfASingerAreFound) {
  const test::NoteScore score = score_of(true, false, 4);
  EXPECT_GE(score.f_measure(), 0.9) << score.text();
}

TEST(VoiceNotes, OfAPianoAreFound) {
  const test::NoteScore score = score_of(false, false, 3);
  EXPECT_GE(score.f_measure(), 0.97) << score.text();
  const test::NoteScore telephone = score_of(false, true, 3);
  EXPECT_GE(telephone.f_measure(), 0.85) << telephone.text();
}

TEST(VoiceNotes, AreMovedToTheKeysOfAPianoThatIsFlat) {
  std::vector<float> sound;
  for (const double midi : {60, 62, 64, 60}) {
    const std::vector<float> note = steady(midi - 0.4, 0.4);
    sound.insert(sound.end(), note.begin(), note.end());
    sound.resize(sound.size() + test::bank_samples(0.1));
  }
  const VoiceReading reading = notes_of_voice(sound);
  ASSERT_EQ(reading.notes.size(), 4U);
  EXPECT_EQ(reading.notes[0].midi, 60);
  EXPECT_EQ(reading.notes[1].midi, 62);
  EXPECT_EQ(reading.notes[2].midi, 64);
  EXPECT_NEAR(reading.notes[2].pitch, 63.6, 0.05);
  EXPECT_NEAR(reading.tuning_cents, -40, 4);
  EXPECT_TRUE(reading.notes[0].sure);
}

TEST(VoiceNotes, SilenceHasNoneAndChordsAreNotClear) {
  EXPECT_EQ(notes_of_voice(std::vector<float>(22050)).heard_s, 0);
  EXPECT_TRUE(notes_of_voice({}).notes.empty());
}

TEST(VoiceNotes, OfChordsAreNotClear) {
  const test::NoteBank piano = test::own_piano(80);
  std::vector<test::PlayedNote> notes;
  for (int beat = 0; beat < 8; ++beat) {
    for (const int midi : {48, 64, 67, 72})
      notes.push_back({0.2 + 0.6 * beat, 0.55, midi + (beat % 4 == 1 ? 5 : beat % 4 == 2 ? 7 : 0), 0.6});
  }
  std::vector<float> sound(test::bank_samples(5.5));
  test::add_notes(sound, notes, piano);
  const VoiceReading reading = notes_of_voice(sound);
  EXPECT_GT(reading.heard_s, 2);
  EXPECT_LT(reading.clear_s, 0.5 * reading.heard_s);
}

}  // namespace
}  // namespace romanesca
