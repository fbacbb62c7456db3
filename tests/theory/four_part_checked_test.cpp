// Four-part writing against a checker that shares no code with it, and against brute force.
#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <random>

#include "tests/sweep.h"
#include "tests/theory/four_part_checker.h"
#include "tests/theory/four_part_text.h"
#include "theory/voicing/four_part.h"
#include "theory/voicing/four_part_chord.h"
#include "theory/voicing/four_part_leading.h"

namespace romanesca {
namespace {

// The checker has to find what is planted, else its silence means nothing.
TEST(FourPartChecker, FindsPlantedFaults) {
  struct Row {
    const char* chords;
    const char* notes;
    BrokenRules broken;
  };
  const Row rows[] = {
      {"C F G C", "C3 E4 G4 C5 | F3 F4 A4 C5 | G3 D4 G4 B4 | C3 E4 G4 C5", {}},
      {"C", "C2 E4 G4 C5", {{PartRule::range, 0}}},
      {"C", "C4 G3 E4 C5", {{PartRule::crossing, 0}}},
      {"C", "C3 E3 G4 C5", {{PartRule::spacing, 0}}},
      {"C", "C3 C4 G4 C5", {{PartRule::complete, 0}}},
      {"C", "C3 E4 C5 C5", {}},
      {"C/E", "E3 C4 E4 C5", {{PartRule::complete, 0}}},
      {"G", "G3 D4 B4 B4", {{PartRule::doubling, 0}}},
      {"G7", "G3 F4 B4 F5", {{PartRule::doubling, 0}}},
      {"C Dm", "C3 G3 E4 C5 | D3 A3 F4 D5", {{PartRule::parallel_fifths, 1}, {PartRule::parallel_octaves, 1}}},
      {"C C", "C3 G3 E4 C5 | C3 G3 E4 C5", {}},
      {"C Dm", "C3 G4 C5 E5 | D3 F4 A4 D5", {}},
      {"G7 C", "G3 D4 F4 B4 | C3 E4 E4 G4", {{PartRule::leading_tone, 1}}},
      {"G7 C", "G3 B3 F4 D5 | C3 G3 E4 C5", {}},
      {"G7 C", "G3 B3 D4 F4 | C3 C4 E4 G4", {{PartRule::chordal_seventh, 1}}},
      {"G Am", "G3 D4 G4 B4 | A3 C4 E4 A4", {{PartRule::leading_tone, 1}}},
      {"D G", "D3 A3 D4 F#4 | G2 B3 D4 D4", {{PartRule::leading_tone, 1}}},
  };
  for (const Row& row : rows) {
    EXPECT_EQ(check_four_parts(chords_of(row.chords), key_of("C"), music_of(row.notes)), row.broken)
        << row.chords << ": " << row.notes;
  }
}

/// A triad or seventh chord of the key in any position; in minor mostly with the leading tone on V and vii.
Chord random_chord(std::mt19937& random, const Key& key) {
  constexpr int degrees[] = {1, 1, 1, 2, 2, 3, 4, 4, 5, 5, 5, 6, 6, 7};
  const int degree = degrees[random() % std::size(degrees)];
  const int size = random() % 3 == 0 ? 4 : 3;
  Chord chord = key.diatonic_chord(degree, size);
  if (key.mode == Mode::minor && (degree == 5 || degree == 7) && random() % 4 != 0) {
    const PitchClass leading = key.tonic + intervals::major_seventh;
    chord = degree == 5 ? Chord::on(chord.root, size == 4 ? chord_types::dominant_seventh : chord_types::major)
                        : *parse_chord(to_string(leading) + (size == 4 ? "dim7" : "dim"));
  }
  constexpr std::size_t positions[] = {0, 0, 0, 1, 1, 2, 3};
  const std::size_t position = positions[random() % std::size(positions)];
  const auto tones = chord.tones();
  chord.bass = tones[position < tones.size() ? position : 0];
  return chord;
}

/// The same with an applied dominant before one chord in ten.
std::vector<Chord> random_progression(std::mt19937& random, const Key& key, std::size_t length) {
  std::vector<Chord> chords;
  while (chords.size() < length) {
    const Chord next = random_chord(random, key);
    if (random() % 10 == 0) {
      const ChordType type = random() % 2 == 0 ? chord_types::dominant_seventh : chord_types::major;
      chords.push_back(Chord::on(next.root + intervals::perfect_fifth, type));
    }
    chords.push_back(next);
  }
  return chords;
}

TEST(FourPart, WhatGivesWayIsWhatTheCheckerFinds) {
  std::mt19937 random(20261126);  // the seed is part of the test
  const int repetitions = static_cast<int>(test::repetitions(200));
  int clean = 0;
  int all = 0;
  for (const Key& key : usual_keys()) {
    for (int round = 0; round < repetitions; ++round) {
      const std::vector<Chord> chords = random_progression(random, key, 4 + random() % 5);
      const FourPart written = write(chords, key);
      ASSERT_EQ(written.chords.size(), chords.size());
      BrokenRules named;
      for (const BrokenRule& each : written.broken_rules) named.insert({each.rule, each.chord});
      std::string symbols;
      for (const Chord& chord : chords) symbols += to_string(chord) + " ";
      ASSERT_EQ(check_four_parts(chords, key, written.chords), named)
          << to_string(key) << ": " << symbols << "\n"
          << told(written) << line(written, VoicePart::soprano) << "\n"
          << line(written, VoicePart::alto) << "\n"
          << line(written, VoicePart::tenor) << "\n"
          << line(written, VoicePart::bass);
      EXPECT_EQ(written.cost / rule_cost, static_cast<std::int64_t>(written.broken_rules.size()));
      for (std::size_t i = 0; i < chords.size(); ++i) {
        EXPECT_EQ(written.chords[i].voices[0].name(), chords[i].bass);
        const auto tones = chords[i].tones();
        for (const Pitch& note : written.chords[i].voices) {
          EXPECT_NE(std::find(tones.begin(), tones.end(), note.name()), tones.end()) << to_string(chords[i]);
        }
      }
      ++all;
      if (written.broken_rules.empty()) ++clean;
    }
  }
  RecordProperty("clean", clean);
  RecordProperty("all", all);
  EXPECT_GT(clean, all / 2);
}

// All quadruples of notes within the ranges, the plain way, judged by the checker: the search has the same to choose
// from.
TEST(FourPart, ChoosesAmongAllFaultlessVoicings) {
  const Key key = key_of("C");
  for (const char* symbol : {"C", "Am/C", "G7", "G7/F", "Bdim/D", "Dm7", "C/G"}) {
    const Chord chord = *parse_chord(symbol);
    const auto tones = chord.tones();
    std::array<std::vector<Pitch>, part_count> notes;
    for (std::size_t v = 0; v < part_count; ++v) {
      for (const PitchClass tone : tones) {
        if (v == 0 && tone != chord.bass) continue;
        for (int octave = 1; octave <= 6; ++octave) notes[v].emplace_back(tone, octave);
      }
    }
    std::size_t faultless = 0;
    for (const Pitch& bass : notes[0]) {
      for (const Pitch& tenor : notes[1]) {
        for (const Pitch& alto : notes[2]) {
          for (const Pitch& soprano : notes[3]) {
            faultless += check_four_parts({chord}, key, {{{bass, tenor, alto, soprano}}}).empty() ? 1 : 0;
          }
        }
      }
    }
    EXPECT_EQ(part_voicings(part_chord(chord, key, nullptr), choir_ranges).size(), faultless) << symbol;
  }
}

Chord random_any_chord(std::mt19937& random) {
  const auto rows = chord_type_rows();
  Chord chord = Chord::on(PitchClass(static_cast<int>(random() % 13) - 6), rows[random() % rows.size()].type);
  const auto tones = chord.tones();
  if (random() % 2 == 0) chord.bass = tones[random() % tones.size()];
  if (random() % 5 == 0) chord.bass = PitchClass(static_cast<int>(random() % 13) - 6);
  return chord;
}

TEST(FourPart, CostEqualsBruteForceOnRandomProgressions) {
  std::mt19937 random(20261127);  // the seed is part of the test
  for (int round = 0; round < 150; ++round) {
    const Key key = usual_keys()[random() % 24];
    std::vector<Chord> chords;
    while (chords.size() < 2 + static_cast<std::size_t>(round % 2)) chords.push_back(random_any_chord(random));
    PartRanges ranges = choir_ranges;
    if (round % 3 == 0) {
      for (PartRange& range : ranges) {
        range.lowest += static_cast<int>(random() % 12);
        range.highest = range.lowest + static_cast<int>(random() % 9);
      }
    }
    std::vector<PartChord> parts;
    std::vector<std::vector<PartVoicing>> choices;
    for (std::size_t i = 0; i < chords.size(); ++i) {
      parts.push_back(part_chord(chords[i], key, i + 1 < chords.size() ? &chords[i + 1] : nullptr));
      choices.push_back(part_voicings(parts[i], ranges));
    }
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    for (const PartVoicing& a : choices[0]) {
      for (const PartVoicing& b : choices[1]) {
        const std::int64_t two = a.cost + leading_cost(a, b, parts[0].tendency) + b.cost;
        if (chords.size() == 2) least = std::min(least, two);
        if (chords.size() == 2) continue;
        for (const PartVoicing& c : choices[2]) {
          least = std::min(least, two + leading_cost(b, c, parts[1].tendency) + c.cost);
        }
      }
    }
    const FourPart written = write_four_parts(chords, std::vector<Key>(chords.size(), key), ranges);
    EXPECT_EQ(written.cost, least);
    EXPECT_EQ(written.cost / rule_cost, static_cast<std::int64_t>(written.broken_rules.size())) << told(written);
  }
}

TEST(FourPart, EveryChordTypeOverEveryBass) {
  for (const ChordTypeRow& row : chord_type_rows()) {
    for (int root = -6; root <= 6; ++root) {
      for (int bass = -5; bass <= 6; ++bass) {
        Chord chord = Chord::on(PitchClass(root), row.type);
        chord.bass = chord.bass + Interval::simple(bass);
        const Key key{chord.root, Mode::minor};
        const FourPart written = write({chord}, key);
        ASSERT_EQ(written.chords.size(), 1U);
        const auto& voices = written.chords[0].voices;
        EXPECT_EQ(told(written), "") << to_string(chord);
        EXPECT_EQ(voices[0].name(), chord.bass);
        bool third = false;
        bool seventh = false;
        for (std::size_t v = 0; v < part_count; ++v) {
          EXPECT_GE(voices[v].midi(), choir_ranges[v].lowest);
          EXPECT_LE(voices[v].midi(), choir_ranges[v].highest);
          const int above = ((voices[v].midi() - chord.root.semitone()) % 12 + 12) % 12;
          third = third || above == 3 || above == 4;
          seventh = seventh || above == 10 || above == 11 || (above == 9 && !row.type.has(intervals::major_sixth));
          const bool own = (chord.sounding_tones() >> voices[v].name().semitone() & 1U) != 0;
          EXPECT_TRUE(v == 0 || own) << to_string(chord);
        }
        const bool driven_out = row.type.has(intervals::perfect_fourth) && row.type.has_seventh();
        EXPECT_TRUE(third || driven_out || !row.type.has_third()) << to_string(chord);
        EXPECT_TRUE(seventh || !row.type.has_seventh()) << to_string(chord);
      }
    }
  }
}

}  // namespace
}  // namespace romanesca
