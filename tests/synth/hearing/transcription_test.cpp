// Whole recordings, made by the project's own piano or by clicks, whose beats and chords are known.
#include "synth/hearing/transcription.h"

#include <gtest/gtest.h>

#include <cmath>

#include "synth/hearing/beat_tracking.h"
#include "synth/hearing/chord_evidence.h"
#include "synth/hearing/onset_strength.h"
#include "tests/measure/chord_overlap.h"
#include "tests/measure/other_sounds.h"
#include "tests/measure/room_scene.h"
#include "tests/sweep.h"

namespace romanesca {
namespace {

using test::bank_samples;

constexpr std::size_t c_triad = chord_class(0, ChordQuality::major);

/// The notes that are needed, of the project's own piano.
const test::NoteBank& piano() {
  static const test::NoteBank bank = test::own_piano(80);
  return bank;
}

struct PlainPiece {
  std::vector<std::size_t> chords;  ///< one a bar
  int pulses = 4;
  double bpm = 80;
  double begin_s = 0.4;
};

/// Chords on every beat, the root below on the first.
std::vector<float> played(const PlainPiece& piece) {
  std::vector<test::PlayedNote> notes;
  const double beat_s = 60 / piece.bpm;
  double at_s = piece.begin_s;
  for (const std::size_t chord : piece.chords) {
    const int root = root_of(chord);
    notes.push_back({at_s, piece.pulses * beat_s, 36 + root, 0.9});
    for (int pulse = 0; pulse < piece.pulses; ++pulse) {
      for (const int tone : chord_quality_tones[static_cast<std::size_t>(quality_of(chord))]) {
        if (tone >= 0) notes.push_back({at_s, 0.9 * beat_s, 60 + (root + tone) % 12, pulse == 0 ? 0.8 : 0.6});
      }
      at_s += beat_s;
    }
  }
  std::vector<float> sound(bank_samples(at_s + 0.6));
  test::add_notes(sound, notes, piano());
  float loudest = 1e-6f;
  for (const float sample : sound) loudest = std::max(loudest, std::abs(sample));
  for (float& sample : sound) sample *= 0.7f / loudest;
  return sound;
}

std::vector<std::size_t> moved(std::vector<std::size_t> chords, int semitones) {
  for (std::size_t& chord : chords) chord = moved_class(chord, semitones);
  return chords;
}

/// I vi IV V ii V7 I I and again.
std::vector<std::size_t> usual_chords() {
  std::vector<std::size_t> chords{c_triad,
                                  chord_class(9, ChordQuality::minor),
                                  chord_class(5, ChordQuality::major),
                                  chord_class(7, ChordQuality::major),
                                  chord_class(2, ChordQuality::minor),
                                  chord_class(7, ChordQuality::dominant_seventh),
                                  c_triad,
                                  c_triad};
  return chords;
}

std::vector<std::size_t> heard_by_bar(const Transcription& heard) {
  std::vector<std::size_t> chords;
  for (const TranscribedBar& bar : heard.bars) chords.push_back(bar.chords.front().chord);
  return chords;
}

TEST(BeatTracking, FollowsAMetronome) {
  for (const double bpm : {57.0, 72.0, 90.0, 126.0, 150.0}) {
    std::vector<float> sound(bank_samples(20));
    std::vector<double> beats;
    for (double at_s = 0.5; at_s < 19.5; at_s += 60 / bpm) {
      beats.push_back(at_s);
      const std::size_t first = bank_samples(at_s);
      for (std::size_t i = 0; i < 600; ++i)
        sound[first + i] +=
            static_cast<float>(0.5 * std::exp(-static_cast<double>(i) / 150) * std::sin(0.25 * static_cast<double>(i)));
    }
    const OnsetStrength onsets = onset_strength(sound);
    const auto guesses = tempo_guesses(onsets, 3);
    const bool among = std::any_of(guesses.begin(), guesses.end(),
                                   [&](const TempoGuess& guess) { return std::abs(guess.bpm / bpm - 1) < 0.02; });
    EXPECT_TRUE(among) << bpm;
    EXPECT_GT(test::points_f(beats, track_beats(onsets, bpm)), 0.95) << bpm;
    EXPECT_NEAR(tempo_guesses(onsets, 3, bpm * 1.04).front().bpm, bpm, 0.02 * bpm);
  }
}

TEST(BeatTracking, WaitsForAPlayerWhoHesitates) {
  std::vector<float> sound(bank_samples(24));
  std::vector<double> beats;
  double at_s = 0.5;
  for (int i = 0; i < 28; ++i) {
    beats.push_back(at_s);
    const std::size_t first = bank_samples(at_s);
    for (std::size_t k = 0; k < 600; ++k)
      sound[first + k] +=
          static_cast<float>(0.5 * std::exp(-static_cast<double>(k) / 150) * std::sin(0.25 * static_cast<double>(k)));
    at_s += 0.7 + (i % 8 == 7 ? 0.3 : 0);
  }
  EXPECT_GT(test::points_f(beats, track_beats(onset_strength(sound), 60 / 0.7)), 0.9);
}

/// ISO 16: a' is 440 Hz. Sines that are as many cents off, over a chord of three octaves.
TEST(Tuning, IsMeasuredOverTheRecording) {
  for (const double cents : {-55.0, -30.0, -8.0, 0.0, 12.0, 27.0}) {
    std::vector<float> sound(bank_samples(5));
    for (const int midi : {48, 55, 64, 72, 76}) {
      const double hz = test::frequency_of(midi) * std::exp2(cents / 1200);
      for (std::size_t i = 0; i < sound.size(); ++i)
        sound[i] += static_cast<float>(0.1 * std::sin(2 * M_PI * hz * static_cast<double>(i) / hearing_rate_hz));
    }
    EXPECT_NEAR(tuning_of(sound), cents, 1.5);
  }
}

TEST(ChordWeights, SurviveTheirText) {
  const ChordWeights weights = ChordWeights::from_text(chord_weight_texts().front().text);
  const ChordWeights again = ChordWeights::from_text(weights.to_text());
  EXPECT_EQ(weights.qualities, again.qualities);
  EXPECT_EQ(weights.none, again.none);
  EXPECT_EQ(weights.bass, again.bass);
}

TEST(ChordEvidence, IsTheSameOnEveryRoot) {
  RegisterChroma chroma;
  for (std::size_t i = 0; i < 12; ++i) {
    for (std::size_t r = 0; r < RegisterChroma::registers; ++r)
      chroma.rows[r][i] = static_cast<float>((7 * i + 3 * r) % 5) / 5;
  }
  RegisterChroma higher = chroma;
  for (auto& row : higher.rows) std::rotate(row.begin(), row.end() - 4, row.end());
  const ChordClassifier classifier;
  const ChordEvidence low = classifier.chords(chroma);
  const ChordEvidence high = classifier.chords(higher);
  double sum = 0;
  for (std::size_t chord = 0; chord < chord_classes; ++chord) {
    EXPECT_NEAR(low[chord], high[moved_class(chord, 4)], 1e-4);
    sum += std::exp(static_cast<double>(low[chord]));
  }
  EXPECT_NEAR(sum, 1, 1e-3);
}

TEST(Transcription, HearsAPieceInTwelveKeys) {
  for (const int key : test::tried<int>({0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11})) {
    const auto chords = moved(usual_chords(), key);
    const Transcription heard = transcribe_chords(played({chords}));
    ASSERT_EQ(heard.outcome, TranscriptionOutcome::chords) << key;
    EXPECT_EQ(heard.pulses, 4) << key;
    EXPECT_NEAR(heard.tempo_bpm, 80, 2) << key;
    EXPECT_EQ(heard.tonic, key);
    EXPECT_EQ(heard_by_bar(heard), chords) << key;
    for (const TranscribedBar& bar : heard.bars) {
      EXPECT_EQ(bar.chords.size(), 1U);
      EXPECT_EQ(bar.chords.front().bass, root_of(bar.chords.front().chord));
    }
  }
}

TEST(Transcription, HearsBarsOfThree) {
  const Transcription heard = transcribe_chords(played({usual_chords(), 3, 96}));
  EXPECT_EQ(heard.pulses, 3);
  EXPECT_EQ(heard_by_bar(heard), usual_chords());
}

TEST(Transcription, HearsTheFirstNoteOfACutRecording) {
  const std::vector<float> sound = played({usual_chords(), 4, 84, 0.3});
  const Transcription heard = transcribe_chords(std::span(sound).subspan(bank_samples(0.3)));
  EXPECT_EQ(heard_by_bar(heard), usual_chords());
  EXPECT_EQ(heard.bars.front().chords.front().pulse, 0);
}

TEST(Transcription, KeepsToWhatIsSaid) {
  const std::vector<float> sound = played({usual_chords(), 4, 76, 1.5});
  TranscriptionHints hints;
  hints.tempo_bpm = 152;
  hints.pulses = 4;
  EXPECT_NEAR(transcribe_chords(sound, hints).tempo_bpm, 152, 5);
  hints = {};
  hints.first_line_s = 1.5 + 2 * 60 / 76.0;  // half a bar late
  hints.pulses = 4;
  const Transcription late = transcribe_chords(sound, hints);
  ASSERT_FALSE(late.bars.empty());
  EXPECT_NEAR(late.bars.front().start_s, *hints.first_line_s, 0.001);
}

TEST(Transcription, FollowsAFlatPiano) {
  const Transcription heard = transcribe_chords(test::detuned(played({usual_chords()}), -52));
  EXPECT_NEAR(heard.tuning_cents, -52, 4);
  EXPECT_EQ(heard_by_bar(heard), usual_chords());
}

TEST(Transcription, HearsNoChordsWhereThereAreNone) {
  test::SceneRandom random(4);
  const std::size_t length = bank_samples(15);
  EXPECT_EQ(transcribe_chords(std::vector<float>(length)).outcome, TranscriptionOutcome::silent);
  EXPECT_EQ(transcribe_chords(std::vector<float>(bank_samples(2), 0.1f)).outcome, TranscriptionOutcome::too_short);
  EXPECT_EQ(transcribe_chords({}).outcome, TranscriptionOutcome::too_short);
  std::vector<float> noise = test::pink_noise(length, random);
  for (float& sample : noise) sample *= 0.1f;
  EXPECT_NE(transcribe_chords(noise).outcome, TranscriptionOutcome::chords);
  std::vector<float> hum(length);
  for (std::size_t i = 0; i < length; ++i) {
    const double turn = 2 * M_PI * 50 * static_cast<double>(i) / hearing_rate_hz;
    hum[i] = static_cast<float>(0.2 * std::sin(turn) + 0.1 * std::sin(2 * turn) + 0.05 * std::sin(3 * turn));
  }
  EXPECT_NE(transcribe_chords(hum).outcome, TranscriptionOutcome::chords);
  std::vector<float> tone(length);
  for (std::size_t i = 0; i < length; ++i)
    tone[i] = static_cast<float>(0.3 * std::sin(2 * M_PI * 440 * static_cast<double>(i) / hearing_rate_hz));
  EXPECT_NE(transcribe_chords(tone).outcome, TranscriptionOutcome::chords);
  EXPECT_NE(transcribe_chords(test::knocks(length, random)).outcome, TranscriptionOutcome::chords);
}

TEST(Transcription, FillsEveryBar) {
  test::SceneRandom random(9);
  const auto sound = test::through_room(played({usual_chords()}), {}, random);
  const Transcription heard = transcribe_chords(sound);
  for (const TranscribedBar& bar : heard.bars) {
    int pulse = bar.chords.front().pulse;
    double at_s = bar.start_s;
    for (const TranscribedChord& chord : bar.chords) {
      EXPECT_EQ(chord.pulse, pulse);
      EXPECT_DOUBLE_EQ(chord.start_s, at_s);
      EXPECT_GT(chord.pulses, 0);
      EXPECT_GE(chord.sure, 0);
      EXPECT_LE(chord.sure, 1 + 1e-9);
      pulse += chord.pulses;
      at_s = chord.end_s;
    }
    EXPECT_EQ(pulse, heard.pulses);
    EXPECT_DOUBLE_EQ(at_s, bar.end_s);
  }
}

}  // namespace
}  // namespace romanesca
