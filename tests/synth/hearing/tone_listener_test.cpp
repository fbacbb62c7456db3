// What listens to a microphone, with the project's own piano (which the networks were fitted to, among others): that
// the parts work together. How well it hears other pianos is measured by tests/measure/hearing_figures.
#include "synth/hearing/tone_listener.h"

#include <gtest/gtest.h>

#include "synth/hearing/room_check.h"
#include "tests/measure/onset_score.h"
#include "tests/measure/other_sounds.h"
#include "tests/measure/piano_scene.h"
#include "tests/synth/allocations.h"
#include "theory/listening/heard_tones.h"

namespace romanesca {
namespace {

const test::NoteBank& bank_of_notes() {
  static const test::NoteBank bank = test::own_piano(80);
  return bank;
}

std::vector<float> chord_at(double at_s, double length_s, const std::vector<int>& midi) {
  std::vector<float> sound(test::bank_samples(length_s));
  std::vector<test::PlayedNote> notes;
  for (const int note : midi) notes.push_back({at_s, length_s, note, 0.3});
  test::add_notes(sound, notes, bank_of_notes());
  return sound;
}

std::vector<TonesHeard> heard_in(const std::vector<float>& sound, double rate_hz = hearing_rate_hz) {
  ToneListener listener(rate_hz);
  std::vector<TonesHeard> all;
  listener.push(sound, [&](const TonesHeard& heard) { all.push_back(heard); });
  return all;
}

/// The tones that are more likely there than not, as bits from C on.
unsigned tones_of(const TonesHeard& heard) {
  unsigned tones = 0;
  for (unsigned i = 0; i < 12; ++i) tones |= heard.probability[i] > 0.5f ? 1U << i : 0;
  return tones;
}

TEST(Perceptron, ComputesItsLayersAndIsReadBack) {
  const std::array<std::size_t, 3> sizes{2, 2, 1};
  Perceptron network(sizes);
  network.layers()[0].weights = {1, -1, 0.5f, 2};  // a row for each input
  network.layers()[0].bias = {0, 1};
  network.layers()[1].weights = {2, 3};
  network.layers()[1].bias = {-1};
  const std::array<float, 2> inputs{2, -1};
  float output = 0;
  network.compute(inputs, {&output, 1});
  EXPECT_FLOAT_EQ(output, 2 * 1.5f - 1) << "units of 1.5 and max(0, -3)";
  const Perceptron again = Perceptron::from_text("# a line of words\n" + network.to_text());
  ASSERT_EQ(again.layers().size(), 2U);
  for (std::size_t l = 0; l < 2; ++l) {
    for (std::size_t i = 0; i < network.layers()[l].weights.size(); ++i)
      EXPECT_NEAR(again.layers()[l].weights[i], network.layers()[l].weights[i], 0.02) << "a byte each";
    EXPECT_EQ(again.layers()[l].bias, network.layers()[l].bias);
  }
}

TEST(Perceptron, TheEmbeddedOnesHaveTheirSizes) {
  EXPECT_EQ(hearing_network("tone_weights").layers().front().inputs, ToneNetwork::inputs);
  EXPECT_EQ(hearing_network("onset_weights").layers().front().inputs, OnsetViewer::inputs);
  std::size_t weights = 0;
  for (const char* name : {"tone_weights", "onset_weights"}) {
    const Perceptron network = hearing_network(name);
    for (const auto& layer : network.layers()) weights += layer.weights.size();
  }
  EXPECT_LT(weights, 60'000U) << "a byte each in the page";
}

TEST(ToneListener, HearsTheTonesOfAChordAndWhenItBegan) {
  const auto heard = heard_in(chord_at(1, 3, {48, 60, 64, 67}));
  ASSERT_GE(heard.size(), 10U);
  EXPECT_NEAR(heard.front().onset_ms, 1000, 20);
  EXPECT_NEAR(heard.front().at_ms - heard.front().onset_ms, 100, 25);
  EXPECT_EQ(tones_of(heard.back()), 1U | 1U << 4U | 1U << 7U);
}

TEST(ToneListener, FollowsThePianosTuning) {
  for (const double cents : {-50.0, 30.0}) {
    const auto sound = test::detuned(chord_at(1, 3, {45, 57, 60, 64}), cents);
    ToneListener listener(hearing_rate_hz);
    TonesHeard last;
    listener.push(sound, [&](const TonesHeard& heard) {
      if (heard.onset_ms < 1500) last = heard;  // the end of the notes is heard too
    });
    EXPECT_NEAR(listener.tuning_cents(), cents, 4);
    EXPECT_EQ(tones_of(last), 1U << 9U | 1U | 1U << 4U) << cents;
  }
}

TEST(ToneListener, TellsNothingOfSilenceAndHum) {
  EXPECT_TRUE(heard_in(std::vector<float>(60000)).empty());
  std::vector<float> hum(60000);
  for (std::size_t i = 0; i < hum.size(); ++i)
    hum[i] = 0.1f * std::sin(static_cast<float>(2 * M_PI * 50 * static_cast<double>(i) / hearing_rate_hz));
  for (const TonesHeard& heard : heard_in(hum)) EXPECT_EQ(tones_of(heard), 0U);
}

TEST(ToneListener, HearsTheSameAtTheRatesOfSoundCards) {
  // The sound is the same; only its samples are told to be closer together, so all is sharper and faster.
  for (const double rate_hz : {44100.0, 48000.0}) {
    const auto slow = chord_at(1, 3, {48, 60, 64, 67});
    std::vector<float> sound;
    for (std::size_t i = 0; static_cast<double>(i) * hearing_rate_hz / rate_hz < static_cast<double>(slow.size() - 2);
         ++i) {
      const double place = static_cast<double>(i) * hearing_rate_hz / rate_hz;
      const auto whole = static_cast<std::size_t>(place);
      const auto share = static_cast<float>(place - static_cast<double>(whole));
      sound.push_back(slow[whole] + share * (slow[whole + 1] - slow[whole]));
    }
    const auto heard = heard_in(sound, rate_hz);
    ASSERT_FALSE(heard.empty()) << rate_hz;
    EXPECT_NEAR(heard.front().onset_ms, 1000, 20);
    EXPECT_EQ(tones_of(heard.back()), 1U | 1U << 4U | 1U << 7U) << rate_hz;
  }
}

TEST(ToneListener, DoesNotAllocateWhileItListens) {
  const auto sound = chord_at(0.5, 2, {48, 60, 64, 67});
  ToneListener listener(hearing_rate_hz);
  int looks = 0;
  const long before = test::allocations();
  listener.push(sound, [&](const TonesHeard&) { ++looks; });
  EXPECT_EQ(test::allocations(), before);
  EXPECT_GT(looks, 5);
}

/// A small sample of what tests/measure/hearing_figures measures with other pianos.
TEST(ToneListener, TellsRightChordsFromWrongOnesThroughATelephone) {
  constexpr int trials = 12;
  const Key c{PitchClass(0), Mode::major};
  std::map<test::Deed, int> taken;
  test::OnsetScore onsets;
  const Perceptron onset_network = hearing_network("onset_weights");
  for (const test::Deed deed :
       {test::Deed::right, test::Deed::other_chord, test::Deed::other_third, test::Deed::silent}) {
    for (int trial = 0; trial < trials; ++trial) {
      test::SceneRandom random(1000 + static_cast<std::uint64_t>(trial));
      const test::Scene scene = test::make_scene(deed, bank_of_notes(), {}, random);
      onsets.add(test::onsets_of(onset_network, scene.sound), scene.onsets_s);
      for (const TonesHeard& heard : heard_in(scene.sound)) {
        const bool of_it = std::abs(heard.onset_ms - 1000 * scene.onset_s) < 100;
        if (!of_it || heard.at_ms < heard.onset_ms + 275 || heard.at_ms > heard.onset_ms + 325) continue;
        taken[deed] +=
            match_sound(heard.probability, *parse_chord(scene.symbol), c).answer == SoundMatch::Answer::right;
        break;
      }
    }
  }
  EXPECT_GE(taken[test::Deed::right], trials - 2);
  EXPECT_EQ(taken[test::Deed::other_chord], 0);
  EXPECT_EQ(taken[test::Deed::other_third], 0);
  EXPECT_EQ(taken[test::Deed::silent], 0);
  EXPECT_GT(onsets.f_measure(), 0.9) << onsets.text();
}

TEST(RoomCheck, TellsLevelsHumAndTuning) {
  constexpr double rate_hz = 48000;
  RoomCheck check(rate_hz);
  std::vector<float> quiet(144000);
  test::SceneRandom random(4);
  for (std::size_t i = 0; i < quiet.size(); ++i) {
    quiet[i] =
        static_cast<float>(0.001 * random.normal() + 0.01 * std::sin(2 * M_PI * 60 * static_cast<double>(i) / rate_hz));
  }
  check.push_quiet(quiet);
  std::vector<float> loud(48000);
  for (std::size_t i = 0; i < loud.size(); ++i)
    loud[i] = static_cast<float>(0.5 * std::sin(2 * M_PI * 440 * static_cast<double>(i) / rate_hz));
  check.push_playing(loud, [](const TonesHeard&) {});
  const RoomReport report = check.report();
  EXPECT_NEAR(report.quiet_dbfs, 10 * std::log10(0.001 * 0.001 + 0.01 * 0.01 / 2), 0.2);
  EXPECT_NEAR(report.piano_dbfs, 20 * std::log10(0.5 / std::sqrt(2.0)), 0.1);
  EXPECT_EQ(report.hum_hz, 60);
  EXPECT_FALSE(report.clipped);
}

TEST(RoomCheck, FindsWhatStandsOut) {
  const RoomReport good{-60, -20, 0, false, 4, 3};
  const RoomFindings fine = findings_of(good);
  EXPECT_TRUE(fine.heard && !fine.soft && !fine.loud_room && fine.in_tune);
  RoomReport bad = good;
  bad.piano_dbfs = -50;
  bad.tuning_cents = -6;
  const RoomFindings poor = findings_of(bad);
  EXPECT_TRUE(poor.heard && poor.soft && poor.loud_room && !poor.in_tune);
  bad.piano_dbfs = -58;
  EXPECT_FALSE(findings_of(bad).heard) << "no louder than the room";
  RoomReport silent = good;
  silent.onsets = 0;
  EXPECT_FALSE(findings_of(silent).heard);
}

TEST(RoomCheck, TellsClippingAndAQuietMains) {
  RoomCheck check(48000);
  std::vector<float> noise(48000);
  test::SceneRandom random(5);
  for (float& sample : noise) sample = static_cast<float>(0.001 * random.normal());
  check.push_quiet(noise);
  check.push_playing(std::vector<float>(4800, 1.0f), [](const TonesHeard&) {});
  EXPECT_TRUE(check.report().clipped);
  EXPECT_EQ(check.report().hum_hz, 0);
}

}  // namespace
}  // namespace romanesca
