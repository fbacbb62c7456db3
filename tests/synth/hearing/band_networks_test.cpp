// The networks that hear a band, on sounds that the test makes.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "synth/hearing/beat_network.h"
#include "synth/hearing/chord_network.h"
#include "tests/measure/note_bank.h"

namespace romanesca {
namespace {

using test::bank_samples;

/// A triad with its root below, held for two seconds.
PitchFrames frames_of_chord(const test::NoteBank& piano, int root_midi, ChordQuality quality) {
  std::vector<float> sound(bank_samples(2.4));
  std::vector<test::PlayedNote> notes{{0.2, 2, root_midi - 12, 0.8}};
  for (const int tone : chord_quality_tones[static_cast<std::size_t>(quality)]) {
    if (tone >= 0) notes.push_back({0.2, 2, root_midi + tone, 0.7});
  }
  test::add_notes(sound, notes, piano);
  return pitch_frames(sound);
}

std::size_t most_probable(const ChordEvidence& evidence) {
  return static_cast<std::size_t>(std::max_element(evidence.begin(), evidence.end()) - evidence.begin());
}

TEST(ChordNetwork, NamesAChordAndItsBassOnEveryRoot) {
  const test::NoteBank piano = test::own_piano(80);
  const ChordNetwork network;
  for (int root = 0; root < 12; ++root) {
    for (const ChordQuality quality : {ChordQuality::major, ChordQuality::minor}) {
      const PitchFrames frames = frames_of_chord(piano, 55 + root, quality);
      const NetworkLook look = network.look(ChordNetwork::moment_at(frames, 1));
      EXPECT_EQ(most_probable(look.chords), chord_class(55 + root, quality)) << root;
      EXPECT_EQ(std::max_element(look.bass.begin(), look.bass.end()) - look.bass.begin(), (55 + root) % 12);
      double sum = 0;
      for (const float logarithm : look.chords) sum += std::exp(static_cast<double>(logarithm));
      EXPECT_NEAR(sum, 1, 1e-4);
    }
  }
}

/// One perceptron for all roots: what is heard a semitone higher is the chord a semitone higher, bit for bit but for
/// the notes at the ends of what is heard.
TEST(ChordNetwork, SeesTheSameFromEveryRoot) {
  ChordNetwork::Moment low;
  for (std::size_t i = 100; i < 160; ++i) low.now[i] = static_cast<float>((7 * i) % 11) / 11;
  for (std::size_t i = 30; i < 50; ++i) low.around[i] = static_cast<float>((5 * i) % 7) / 7;
  ChordNetwork::Moment high;
  std::rotate_copy(low.now.begin(), low.now.end() - 3, low.now.end(), high.now.begin());
  std::rotate_copy(low.around.begin(), low.around.end() - 1, low.around.end(), high.around.begin());
  std::vector<float> from_d(ChordNetwork::inputs), from_e_flat(ChordNetwork::inputs);
  ChordNetwork::gather(low, 2, from_d);
  ChordNetwork::gather(high, 3, from_e_flat);
  EXPECT_EQ(from_d, from_e_flat);
  ChordNetwork::gather(high, 2, from_d);
  EXPECT_NE(from_d, from_e_flat);
}

TEST(ChordNetwork, HearsNothingInAnEmptyRecording) {
  const NetworkLook look = ChordNetwork().look(ChordNetwork::moment_at(PitchFrames{}, 0.5));
  for (const float logarithm : look.chords) EXPECT_TRUE(std::isfinite(logarithm));
}

/// A low drum on one and three, a high one on two and four, eight in between, by which a listener would count.
TEST(BeatNetwork, CountsByTheDrums) {
  OnsetStrength onsets;
  constexpr std::size_t beat = 30;  // frames: 100 a minute
  onsets.by_group.resize(40 * beat);
  for (std::size_t i = 0; i < 40; ++i) {
    auto& here = onsets.by_group[i * beat];
    for (std::size_t group = 0; group < OnsetStrength::groups; ++group) {
      const bool low = group < 2;
      here[group] = (i % 2 == 0) == low ? 6.0f : 0.5f;
      onsets.by_group[i * beat + beat / 2][group] = group > 3 ? 2.0f : 0.1f;
    }
    if (i % 4 == 0) here.fill(7.0f);
  }
  const BeatNetwork::Beats heard = BeatNetwork().beats(onsets);
  ASSERT_EQ(heard.beat.size(), onsets.by_group.size());
  double on_beats = 0, between = 0;
  for (std::size_t i = 8; i < 32; ++i) {
    on_beats += static_cast<double>(heard.beat[i * beat]) / 24;
    between += static_cast<double>(heard.beat[i * beat + beat / 3]) / 24;
  }
  EXPECT_GT(on_beats, 0.5);
  EXPECT_LT(between, 0.1);
}

/// Where a frame lies at an end of the recording, what would be beyond is silence.
TEST(BeatNetwork, SeesBothSidesOfAFrame) {
  OnsetStrength onsets;
  onsets.by_group.resize(300);
  onsets.by_group[150].fill(3);
  std::vector<float> before(BeatNetwork::inputs), after(BeatNetwork::inputs), far(BeatNetwork::inputs);
  BeatNetwork::gather(onsets, 149, before);
  BeatNetwork::gather(onsets, 151, after);
  BeatNetwork::gather(onsets, 299, far);
  constexpr std::size_t groups = OnsetStrength::groups;
  EXPECT_EQ(before[groups], 3) << "one frame later";
  EXPECT_EQ(after[2 * groups], 3) << "one frame earlier";
  EXPECT_EQ(std::count(before.begin(), before.end(), 3.0f), static_cast<std::ptrdiff_t>(groups));
  EXPECT_EQ(std::count(far.begin(), far.end(), 3.0f), 0);
}

}  // namespace
}  // namespace romanesca
