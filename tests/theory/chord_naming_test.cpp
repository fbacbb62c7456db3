#include "theory/chords/chord_naming.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <tuple>

#include "tests/reference/table.h"
#include "tests/theory/named_chords.h"

namespace romanesca {
namespace {

Key key(const char* text) {
  const auto read = parse_key(text);
  return {read->tonic, read->mode.value_or(Mode::major)};
}

std::vector<std::string> names(std::vector<int> midi, const char* in) {
  std::vector<std::string> result;
  for (const ChordName& name : name_notes(midi, key(in))) {
    result.push_back(to_string(name.chord) + (name.without_fifth ? " no5" : "") + (name.without_root ? " no1" : ""));
  }
  return result;
}

// What a pianist calls these (common practice, no source).
TEST(ChordNaming, WhatPlayersMean) {
  EXPECT_EQ(names({60, 64, 67}, "C").front(), "C");
  EXPECT_EQ(names({64, 67, 72}, "C").front(), "C/E");
  EXPECT_EQ(names({55, 60, 64, 76}, "C").front(), "C/G");
  EXPECT_EQ(names({57, 60, 64, 67}, "C").front(), "Am7");
  EXPECT_EQ(names({60, 64, 67, 69}, "F").front(), "C6");
  EXPECT_EQ(names({55, 65, 71}, "C").front(), "G7 no5");
  EXPECT_EQ(names({53, 60, 64, 67}, "C").front(), "C/F");
  EXPECT_EQ(names({48, 55}, "C").front(), "C5");
  EXPECT_EQ(names({61, 65, 68}, "Ab").front(), "Db");
  EXPECT_EQ(names({61, 65, 68}, "F#").front(), "C#");
  EXPECT_EQ(names({68, 71, 74}, "A minor").front(), "G#dim");
  const auto rootless = names({64, 70, 74}, "F");  // E Bb D: the upper part of C9
  EXPECT_TRUE(std::any_of(rootless.begin(), rootless.end(), [](const std::string& name) {
    return name.ends_with(" no1");
  })) << rootless.front();
}

TEST(ChordNaming, NothingForOneNoteOrNone) {
  EXPECT_TRUE(names({}, "C").empty());
  EXPECT_TRUE(names({60, 72}, "C").empty());
  EXPECT_TRUE(names({60, 61, 62, 63}, "C").empty());
}

// Every named chord of up to five tones, on every root and in every inversion, is among its own names, and in root
// position the exact one comes before any over a foreign bass.
TEST(ChordNaming, EveryChordIsAmongItsNames) {
  for (const ChordTypeRow& row : chord_type_rows()) {
    if (row.type.size() < 2 || row.type.size() > 5 || row.symbol.find("no5") != std::string::npos) continue;
    for (int root = 48; root < 60; ++root) {
      for (std::size_t turn = 0; turn < row.tones.size(); ++turn) {
        std::vector<int> midi;
        for (std::size_t i = 0; i < row.tones.size(); ++i) {
          const int above = (row.tones[i].semitones() % 12 + 12) % 12;
          midi.push_back(root + above + (i < turn ? 12 : 0));
        }
        std::iter_swap(midi.begin(), midi.begin() + static_cast<std::ptrdiff_t>(turn));
        midi.front() = (midi.front() % 12) + 36;  // this tone in the bass
        const auto found = name_notes(midi, key("C"), 100);
        EXPECT_TRUE(std::any_of(found.begin(), found.end(),
                                [&](const ChordName& name) {
                                  return name.chord.type == row.type && name.chord.root.semitone() == root % 12 &&
                                         !name.without_fifth && !name.without_root;
                                }))
            << row.symbol << " on " << root << " turned " << turn;
      }
    }
  }
}

/// The chord as keyboard classes: root, tones, bass.
using Sounding = std::tuple<int, unsigned, int>;
Sounding sounding(const Chord& chord) { return {chord.root.semitone(), chord.sounding_tones(), chord.bass.semitone()}; }

// Against npm tonal 6.4.3, tests/reference/tonal/names.tsv: one of its names is among our first four.
TEST(ChordNaming, AgreesWithAnOutsideLibrary) {
  std::size_t compared = 0;
  for (const auto& row : test::reference_rows("tonal/names.tsv")) {
    std::vector<int> midi;
    for (const std::string& note : test::words(row[0])) {
      int next = parse_pitch_class(note)->semitone() + 48;
      while (!midi.empty() && next <= midi.back()) next += 12;
      midi.push_back(next);
    }
    std::set<Sounding> theirs;
    for (const std::string& name : test::words(row[1])) {
      if (const auto chord = parse_chord(name)) theirs.insert(sounding(*chord));
    }
    const auto ours = name_notes(midi, key("C"));
    EXPECT_TRUE(std::any_of(ours.begin(), ours.end(),
                            [&](const ChordName& name) { return theirs.contains(sounding(name.chord)); }))
        << row[0] << ": theirs " << row[1] << ", ours " << (ours.empty() ? "none" : to_string(ours.front().chord));
    ++compared;
  }
  EXPECT_GT(compared, 120U);
}

using test::c_major;

std::string compared(const std::vector<int>& midi, const char* name) {
  const ChordMatch match = match_chord(midi, *parse_chord(name), c_major);
  std::string text;
  for (const PitchClass note : match.missing) text += "-" + to_string(note);
  for (const PitchClass note : match.foreign) text += "+" + to_string(note);
  return text + (match.bass_fits ? "" : " bass");
}

TEST(ChordMatch, FindsMissingAndForeignNotes) {
  EXPECT_EQ(compared({60, 64, 67}, "C"), "");
  EXPECT_EQ(compared({64, 67, 72}, "C"), " bass");
  EXPECT_EQ(compared({60, 64}, "C"), "-G");
  EXPECT_EQ(compared({60, 63, 67}, "C"), "-E+Eb");
  EXPECT_EQ(compared({55, 59, 65}, "G7"), "") << "a seventh chord may leave its fifth out";
  EXPECT_EQ(compared({59, 62, 65}, "Bm7b5"), "-A") << "a diminished fifth may not be left out";
  EXPECT_EQ(compared({62, 60, 64, 67}, "C/D"), " bass");
  EXPECT_EQ(compared({50, 60, 64, 67}, "C/D"), "");
  EXPECT_EQ(compared({}, "C"), "-C-E-G");
}

/// The tones of a chord match it, on every root and in every type.
TEST(ChordMatch, EveryChordMatchesItself) {
  for (int fifths = -6; fifths <= 6; ++fifths) {
    for (const ChordTypeRow& row : chord_type_rows()) {
      const Chord chord = Chord::on(PitchClass(fifths), row.type);
      std::vector<int> midi{36 + chord.root.semitone()};
      for (const PitchClass tone : chord.tones()) midi.push_back(60 + tone.semitone());
      const ChordMatch match = match_chord(midi, chord, c_major);
      EXPECT_TRUE(match.complete() && match.bass_fits) << to_string(chord);
    }
  }
}

}  // namespace
}  // namespace romanesca
