#include "progressions/call_phrase.h"

#include <gtest/gtest.h>

#include <set>

namespace romanesca {
namespace {

/// A chord on every bar.
std::vector<CallChord> chords_over(const Meter& meter, int bars, int fifths) {
  constexpr std::array types{chord_types::major, chord_types::minor};
  std::vector<CallChord> chords;
  for (int bar = 0; bar < bars; ++bar) {
    const auto type = types[static_cast<std::size_t>(bar) % types.size()];
    chords.push_back({meter.bar_length() * bar, meter.bar_length(), Chord::on(PitchClass(fifths + bar), type)});
  }
  return chords;
}

/// Every level, meter, key and many seeds: chord tones alone, one at a time, within range and bars, with a breath at
/// the end, and an open last note.
TEST(CallPhrase, KeepsItsPromises) {
  for (const Meter& meter : all_meters) {
    for (int level = 1; level <= 8; ++level) {
      for (int fifths = -6; fifths <= 5; ++fifths) {
        for (std::uint32_t seed = 0; seed < 20; ++seed) {
          const int bars = 1 << (seed % 3);
          const auto chords = chords_over(meter, bars, fifths);
          const auto phrase = call_phrase(chords, meter, bars, level, seed, 7);
          ASSERT_FALSE(phrase.empty()) << to_string(meter) << " level " << level << " seed " << seed;
          Beats free;
          for (const NoteEvent& note : phrase) {
            ASSERT_GE(note.start, free);
            free = note.start + note.length;
            ASSERT_LE(free, meter.bar_length() * bars);
            ASSERT_EQ(note.part, 7);
            ASSERT_GE(note.midi, 60);
            ASSERT_LE(note.midi, level >= 4 ? 79 : 72);
            const auto bar = static_cast<std::size_t>(whole_times(note.start, meter.bar_length()));
            ASSERT_TRUE(chords[bar].chord.sounding_tones() >> (note.midi % 12) & 1U);
          }
          if (phrase.size() > 1) {
            ASSERT_LE(free, meter.bar_length() * bars - meter.pulse_length());
          }
          const auto last = static_cast<std::size_t>(whole_times(phrase.back().start, meter.bar_length()));
          ASSERT_NE(phrase.back().midi % 12, chords[last].chord.root.semitone()) << "an open end";
        }
      }
    }
  }
}

TEST(CallPhrase, SeedsDifferAndOneSeedIsOnePhrase) {
  const Meter meter{4, 4};
  const auto chords = chords_over(meter, 2, 0);
  std::set<std::vector<int>> different;
  for (std::uint32_t seed = 0; seed < 50; ++seed) {
    const auto phrase = call_phrase(chords, meter, 2, 3, seed, 0);
    EXPECT_EQ(phrase, call_phrase(chords, meter, 2, 3, seed, 0));
    std::vector<int> notes;
    for (const NoteEvent& note : phrase) notes.push_back(note.midi);
    different.insert(notes);
  }
  EXPECT_GT(different.size(), 40U);
}

TEST(CallPhrase, RestsWhereTheChordsRest) { EXPECT_TRUE(call_phrase({}, Meter{4, 4}, 2, 1, 1, 0).empty()); }

}  // namespace
}  // namespace romanesca
