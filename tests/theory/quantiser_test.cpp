#include "theory/tunes/quantiser.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <random>

#include "theory/harmony/take_to_song.h"
#include "theory/songs/progression_writer.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

/// Rhythms of one beat, in parts of 1/24 quarter, as books of sight-reading have them (common practice, no source).
const std::vector<std::vector<std::int64_t>> simple_beats{{24},       {12, 12},     {18, 6},  {6, 6, 12},
                                                          {12, 6, 6}, {6, 6, 6, 6}, {8, 8, 8}};
const std::vector<std::vector<std::int64_t>> compound_beats{{36}, {12, 12, 12}, {24, 12}, {12, 6, 6, 12}, {18, 6, 12}};

/// A random tune of eight bars: one in six beats is held over from the one before, one in nine is silent.
struct WrittenRhythm {
  Meter meter;
  std::vector<QuantisedNote> notes;
};

WrittenRhythm random_rhythm(Meter meter, std::mt19937& random, bool rests) {
  const auto& beats = meter.is_compound() ? compound_beats : simple_beats;
  WrittenRhythm written{meter, {}};
  const int count = 8 * meter.pulses();
  const auto upbeat = static_cast<int>(random() % static_cast<unsigned>(meter.pulses()));
  for (int beat = upbeat; beat < count; ++beat) {
    Beats at = meter.pulse_length() * beat;
    const unsigned chance = random() % 18;
    if (chance < 3 && !written.notes.empty() && written.notes.back().start + written.notes.back().length == at) {
      written.notes.back().length += meter.pulse_length();  // tied, over bar lines too
      continue;
    }
    if (rests && chance >= 16 && beat > upbeat) continue;
    for (const std::int64_t part : beats[random() % beats.size()]) {
      written.notes.push_back({at, Beats(part, 24)});
      at += Beats(part, 24);
    }
  }
  return written;
}

std::vector<TakeNote> played(const WrittenRhythm& written, double share) {
  std::vector<TakeNote> notes;
  int midi = 60;
  for (const QuantisedNote& note : written.notes) {
    const double start = note.start.quarters();
    notes.push_back({start, start + note.length.quarters() * share, 60 + (midi = (midi * 7 + 5) % 12)});
  }
  return notes;
}

TEST(Quantiser, APerfectlyPlayedTuneComesBackExactly) {
  std::mt19937 random(26);
  for (const Meter meter : all_meters) {
    for (int round = 0; round < 40; ++round) {
      const WrittenRhythm written = random_rhythm(meter, random, true);
      for (const double quarter_s : {0.3, 0.6, 1.0}) {
        const QuantisedTake take = quantise(played(written, 1.0), meter, quarter_s);
        ASSERT_EQ(take.best.notes, written.notes) << to_string(meter) << " round " << round << " at " << quarter_s;
        EXPECT_FALSE(take.best.swung);
      }
    }
  }
}

TEST(Quantiser, NotesLastUntilTheNextHoweverShortTheyAreHeld) {
  std::mt19937 random(27);
  for (const Meter meter : all_meters) {
    for (const double share : {0.6, 0.85}) {
      WrittenRhythm written = random_rhythm(meter, random, false);
      QuantisedTake take = quantise(played(written, share), meter, 0.6);
      written.notes.pop_back();  // how long the last one was meant nobody knows
      take.best.notes.pop_back();
      EXPECT_EQ(take.best.notes, written.notes) << to_string(meter) << " " << share;
    }
  }
}

/// A normal deviate, the same with every library.
double normal(std::mt19937& random) {
  double sum = -6;
  for (int i = 0; i < 12; ++i) sum += static_cast<double>(random()) / 4294967296.0;
  return sum;
}

TEST(Quantiser, APlayersSpreadAndDriftAreFollowed) {
  // Spreads of 15 and 30 ms and a slow drift of 20 ms, as people tap to a click (Repp, "Sensorimotor synchronization: A
  // review of the tapping literature", Psychonomic Bulletin & Review 12, 2005; the figures from memory). The rhythms
  // are random, far denser in sixteenths and triplets than most tunes; right were 99.8 and 95.8 % of the onsets.
  std::mt19937 random(28);
  for (const auto& [spread_s, least] : {std::pair(0.015, 0.99), std::pair(0.030, 0.93)}) {
    std::size_t right = 0, all = 0;
    for (const Meter meter : all_meters) {
      for (int round = 0; round < 6; ++round) {
        const WrittenRhythm written = random_rhythm(meter, random, false);
        std::vector<TakeNote> notes = played(written, 0.85);
        constexpr double quarter_s = 0.6;
        double drift = 0;
        for (TakeNote& note : notes) {
          drift += -0.04 * drift + 0.005 * normal(random);
          const double late = (drift + spread_s * normal(random)) / quarter_s;
          note.start = std::max(0.0, note.start + late);
          note.end = std::max(note.start + 0.01, note.end + late);
        }
        std::sort(notes.begin(), notes.end(), [](const auto& a, const auto& b) { return a.start < b.start; });
        const QuantisedTake take = quantise(notes, meter, quarter_s);
        for (std::size_t i = 0; i < notes.size(); ++i)
          right += take.best.notes[i].start == written.notes[i].start ? 1 : 0;
        all += notes.size();
      }
    }
    const double share = static_cast<double>(right) / static_cast<double>(all);
    EXPECT_GT(share, least) << "at a spread of " << spread_s;
    RecordProperty("share_" + std::to_string(static_cast<int>(spread_s * 1000)) + "_ms", std::to_string(share));
  }
}

TEST(Quantiser, SwungEighthsAreWrittenPlain) {
  std::mt19937 random(29);
  std::vector<TakeNote> notes;
  for (int i = 0; i < 64; ++i) {
    const double at = i / 2 + (i % 2 == 0 ? 0.0 : 0.65) + 0.012 * normal(random) + 0.05;
    notes.push_back({at, at + 0.3, 60});
  }
  const QuantisedTake take = quantise(notes, {4, 4}, 0.5);
  EXPECT_TRUE(take.best.swung);
  for (int i = 0; i < 64; ++i) EXPECT_EQ(take.best.notes[static_cast<std::size_t>(i)].start, Beats(i, 2));
}

TEST(TakeToSong, ATakeBecomesASongWithItsUpbeat) {
  // Bar 1 has only an upbeat; D# leads up to E, Bb down to A.
  const std::vector<std::pair<double, int>> line{{3, 67}, {4, 72},   {5, 75}, {5.5, 76},
                                                 {6, 70}, {6.5, 69}, {7, 67}, {8, 72}};
  std::vector<TakeNote> notes;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const double end = i + 1 < line.size() ? line[i + 1].first : 12;
    notes.push_back({line[i].first, end, line[i].second});
    notes.push_back({line[i].first, end, line[i].second - 12});  // the octave below is no part of the tune
  }
  TakeFacts facts;
  facts.key = Key{PitchClass(0), Mode::major};
  facts.chords = {{Beats(4), "C"}, {Beats(6), "F"}, {Beats(8), "C"}};
  const auto song = song_of_take(notes, facts);
  ASSERT_TRUE(song);
  EXPECT_EQ(write_progression(song->progression),
            "key: C major\ntempo: 120\nmeter: 4/4\n\n| C F | C |\ntune: G2 | c2 ^de _BA G2 | c8 |\n");
  EXPECT_FALSE(song_of_take({}, facts));
}

TEST(TakeToSong, TunesInAllMetersComeBackFromTheirText) {
  std::mt19937 random(30);
  for (const Meter meter : all_meters) {
    const WrittenRhythm written = random_rhythm(meter, random, true);
    TakeFacts facts;
    facts.meter = meter;
    facts.key = Key{PitchClass(-3), Mode::major};
    const auto song = song_of_take(played(written, 1.0), facts);
    ASSERT_TRUE(song);
    const std::string text = write_progression(song->progression);
    const auto again = read_song(text, "song");
    ASSERT_TRUE(again) << text << again.error().message;
    const Tune tune = tune_of(again->progression, {});
    ASSERT_EQ(tune.notes.size(), written.notes.size()) << text;
    for (std::size_t i = 0; i < tune.notes.size(); ++i) {
      EXPECT_EQ(tune.notes[i].start - tune.notes[0].start, written.notes[i].start - written.notes[0].start) << text;
      EXPECT_EQ(tune.notes[i].length, written.notes[i].length) << text;
    }
  }
}

std::string key_text(const Progression& song) { return to_string(Key{song.key->tonic, *song.key->mode}); }

TEST(TakeToSong, EveryPitchOfMidiComesBackFromItsText) {
  for (const char* tonic : {"C#", "Ab", "C"}) {
    TakeFacts facts;
    facts.key = Key{*parse_pitch_class(tonic), Mode::minor};
    for (int midi = 0; midi <= 127; ++midi) {
      const auto song = song_of_take({{0, 0.5, midi}, {0.5, 1, midi}}, facts);
      ASSERT_TRUE(song);
      const auto again = read_song(write_progression(song->progression), "again");
      ASSERT_TRUE(again) << midi << " in " << tonic << " minor";
      EXPECT_EQ(tune_of(again->progression, {}).notes.front().pitch.midi(), midi);
    }
  }
}

TEST(TakeToSong, TheKeyOfNotes) {
  const auto key = [](std::initializer_list<int> midi) {
    std::vector<TakeNote> notes;
    for (const int each : midi) notes.push_back({static_cast<double>(notes.size()), notes.size() + 1.0, each});
    const auto song = song_of_take(notes, {});
    return song ? key_text(song->progression) : song.error().message;
  };
  EXPECT_EQ(key({67, 69, 71, 72, 74, 76, 78, 79, 74, 71, 67}), "G major");
  EXPECT_EQ(key({69, 71, 72, 74, 76, 72, 69, 68, 69}), "A minor");
  EXPECT_EQ(key({63, 65, 67, 68, 70, 67, 63}), "Eb major");
}

TEST(TakeToSong, WhereChordsAreKnownTheyTellTheKey) {
  TakeFacts facts;
  facts.chords = {{Beats(0), "F"}, {Beats(4), "Bb"}, {Beats(8), "C7"}, {Beats(12), "F"}};
  std::vector<TakeNote> notes;
  for (const int each : {72, 70, 74, 70, 72, 70, 67, 69}) {
    notes.push_back({2.0 * static_cast<double>(notes.size()), 2.0 * static_cast<double>(notes.size()) + 2, each});
  }
  const auto song = song_of_take(notes, facts);
  ASSERT_TRUE(song);
  EXPECT_EQ(key_text(song->progression), "F major");
}

}  // namespace
}  // namespace romanesca
