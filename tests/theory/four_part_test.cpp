#include "theory/voicing/four_part.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/theory/four_part_text.h"
#include "theory/voicing/four_part_chord.h"
#include "theory/voicing/four_part_leading.h"

namespace romanesca {
namespace {

int count(const FourPartVoicing& chord, const char* name) {
  return static_cast<int>(std::count_if(chord.voices.begin(), chord.voices.end(),
                                        [&](const Pitch& note) { return to_string(note.name()) == name; }));
}

// Worked examples as textbooks have them (Kostka & Payne; Aldwell & Schachter; from memory).
TEST(FourPartExamples, TonicSubdominantDominantTonic) {
  const FourPart written = write("C F G C", "C");
  EXPECT_EQ(told(written), "");
  EXPECT_EQ(line(written, VoicePart::soprano), "E5 F5 D5 E5");
  EXPECT_EQ(line(written, VoicePart::alto), "G4 A4 G4 G4");
  EXPECT_EQ(line(written, VoicePart::tenor), "C4 C4 B3 C4");
  EXPECT_EQ(line(written, VoicePart::bass), "C3 F3 G3 C3");
}

TEST(FourPartExamples, SeventhFallsAndLeadingToneRises) {
  for (const Key& key : usual_keys()) {
    const Chord home = key.diatonic_chord(1);
    const Chord dominant = Chord::on(key.degree(5), chord_types::dominant_seventh);
    const FourPart written = write({home, dominant, home}, key);
    EXPECT_EQ(told(written), "") << to_string(key);
    for (std::size_t v = 0; v < part_count; ++v) {
      const Pitch from = written.chords[1].voices[v];
      const Pitch to = written.chords[2].voices[v];
      if (from.name() == dominant.root + intervals::major_third) {
        EXPECT_EQ(to - from, intervals::minor_second);
      } else if (from.name() == dominant.root + intervals::minor_seventh) {
        EXPECT_EQ((from - to).letters(), 1);
      }
    }
  }
}

TEST(FourPartExamples, DeceptiveCadenceDoublesTheThird) {
  const FourPart major = write("C G Am", "C");
  EXPECT_EQ(told(major), "");
  EXPECT_EQ(count(major.chords[2], "C"), 2);
  const FourPart minor = write("Am E7 F", "A minor");
  EXPECT_EQ(told(minor), "");
  EXPECT_EQ(count(minor.chords[2], "A"), 2);
}

TEST(FourPartExamples, Inversions) {
  const FourPart written = write("C Dm/F C/G G7 C", "C");
  EXPECT_EQ(told(written), "");
  EXPECT_EQ(line(written, VoicePart::bass), "C3 F3 G3 G3 C3");
  EXPECT_EQ(count(written.chords[2], "G"), 2);                     // the bass of a six-four chord
  EXPECT_EQ(count(write("C Bdim/D C/E", "C").chords[1], "D"), 2);  // the third of a diminished triad
  EXPECT_EQ(line(write("G7/F C/E", "C"), VoicePart::bass), "F3 E3");
  EXPECT_EQ(told(write("C G/B Am C/G F", "C")), "");  // a bass that walks down through the leading tone
  EXPECT_EQ(told(write("Am G#dim7 Am Dm7/C E7/B Am", "A minor")), "");
}

TEST(FourPartExamples, SixFourChordsDoubleTheBassOnTheirOwn) {
  for (const Key& key : usual_keys()) {
    Chord chord = key.diatonic_chord(1);
    chord.bass = key.degree(5);
    const FourPartVoicing sung = write({chord}, key).chords[0];
    EXPECT_EQ(count(sung, to_string(chord.bass).c_str()), 2) << to_string(chord);
  }
}

TEST(FourPartExamples, HeldChordsStay) {
  const FourPart written = write("C C G7 G7 C", "C");
  EXPECT_EQ(told(written), "");
  EXPECT_EQ(written.chords[0], written.chords[1]);
  EXPECT_EQ(written.chords[2], written.chords[3]);
}

TEST(FourPartExamples, ChainOfSeventhsLeavesOutEveryOtherFifth) {
  const FourPart written = write("Dm7 G7 Cmaj7 Fmaj7", "C");
  EXPECT_EQ(told(written), "");
  EXPECT_EQ(count(written.chords[0], "A"), 0);
  EXPECT_EQ(count(written.chords[1], "D"), 1);
  EXPECT_EQ(count(written.chords[2], "G"), 0);
  EXPECT_EQ(count(written.chords[3], "C"), 1);
}

// The E of C7 leads to F, the F# of D7 to G; the C of F#dim7 in C major is free to fall, its E flat has to.
TEST(FourPartExamples, AppliedDominants) {
  const FourPart written = write("C C7 F D7/F# G F#dim7 G", "C");
  EXPECT_EQ(told(written), "");
  EXPECT_EQ(count(written.chords[1], "E"), 1);
  for (const FourPartVoicing& chord : written.chords) EXPECT_LE(count(chord, "F#"), 1);
  EXPECT_EQ(told(write("D7/F# G/D", "C")), "The leading tone F# in the bass does not rise from D7/F# to G/D.\n");
  EXPECT_EQ(told(write("F#dim7 G/B", "C")), "The leading tone F# in the bass does not rise from F#dim7 to G/B.\n");
}

TEST(FourPart, RootsWithAFirmFifthAreNoLeadingTones) {
  EXPECT_EQ(count(write("B", "C").chords[0], "B"), 2);
  EXPECT_EQ(count(write("Em", "C").chords[0], "B"), 1);
}

TEST(FourPart, SaysWhatGaveWayAndWhere) {
  const FourPart rising = write("G7/F C/G", "C");
  ASSERT_EQ(rising.broken_rules.size(), 1U) << told(rising);
  EXPECT_EQ(rising.broken_rules[0].rule, PartRule::chordal_seventh);
  EXPECT_EQ(rising.broken_rules[0].chord, 1U);
  EXPECT_EQ(rising.broken_rules[0].text, "The seventh F in the bass does not fall by step from G7/F to C/G.");
  EXPECT_EQ(told(write("C G/B C/E", "C")), "The leading tone B in the bass does not rise from G/B to C/E.\n");
  EXPECT_EQ(told(write("B(no3,no5)", "C")),
            "B(no3,no5) has its leading tone B twice, a note that should be heard once.\n");
}

TEST(FourPart, NarrowRangesGiveWayAndAreNamed) {
  PartRanges ranges = choir_ranges;
  ranges[3] = {61, 63};  // no note of C major
  const std::vector<Chord> chords = chords_of("C");
  const FourPart written = write_four_parts(chords, std::vector<Key>{key_of("C")}, ranges);
  EXPECT_EQ(told(written), "In C the soprano leaves its range.\n");
  ranges = choir_ranges;
  ranges[1] = {48, 50};  // C3
  ranges[2] = {67, 67};  // G4
  EXPECT_EQ(told(write_four_parts(chords, std::vector<Key>{key_of("C")}, ranges)),
            "In C tenor and alto are more than an octave apart.\n");
  ranges[0] = {60, 60};
  ranges[2] = {55, 55};
  EXPECT_EQ(told(write_four_parts(chords, std::vector<Key>{key_of("C")}, ranges)),
            "In C the bass lies above the tenor.\n");
}

TEST(FourPart, LargeChordsKeepWhatNamesThem) {
  const auto names = [](const char* symbol) {
    std::string text;
    for (const PartTone& tone : part_chord(*parse_chord(symbol), key_of("C"), nullptr).tones) {
      text += (text.empty() ? "" : " ") + to_string(tone.name);
    }
    return text;
  };
  EXPECT_EQ(names("G9"), "G B F A");
  EXPECT_EQ(names("G7b9"), "G B F Ab");
  EXPECT_EQ(names("G13"), "G B F E");
  EXPECT_EQ(names("G11"), "G F A C");
  EXPECT_EQ(names("Dm11"), "D F C G");
  EXPECT_EQ(names("G9sus4"), "G C F A");
  EXPECT_EQ(names("C6/9"), "C E A D");
  EXPECT_EQ(names("Cadd9"), "C E G D");
  EXPECT_EQ(names("G9/D"), "B D F A");
  EXPECT_EQ(names("F/G"), "F A C G");
  EXPECT_EQ(names("Dm7/G"), "D F C G");
}

// G7 to C with the leading tone in a tenor that cannot reach C4: it falls to the fifth of the chord.
TEST(FourPart, InnerLeadingToneMayFallToTheFifth) {
  const PartRanges ranges{{{40, 60}, {55, 59}, {62, 67}, {72, 74}}};
  const FourPart written = write_four_parts(chords_of("G7 C"), std::vector<Key>(2, key_of("C")), ranges);
  EXPECT_EQ(told(written), "");
  EXPECT_EQ(line(written, VoicePart::tenor), "B3 G3");
}

TEST(FourPart, OfWideRangesTheLowerTwoOctaves) {
  const PartRanges ranges{{{60, 127}, {60, 127}, {60, 127}, {60, 127}}};
  const FourPart written = write_four_parts(chords_of("C F"), std::vector<Key>(2, key_of("C")), ranges);
  for (const FourPartVoicing& chord : written.chords) {
    for (const Pitch& note : chord.voices) EXPECT_LE(note.midi(), 84);
  }
}

// B is the leading tone of C major and not of G major: the key of its own chord counts.
TEST(FourPart, EveryChordHasItsKey) {
  const std::vector<Chord> chords = chords_of("C G/B C/E");
  const Key c = key_of("C");
  const Key g = key_of("G");
  EXPECT_EQ(write_four_parts(chords, std::vector<Key>{g, c, c}).broken_rules.size(), 1U);
  EXPECT_EQ(write_four_parts(chords, std::vector<Key>{g, c}).broken_rules.size(), 1U);
  EXPECT_EQ(write_four_parts(chords, std::vector<Key>{c, g, c}).broken_rules.size(), 0U);
}

PartVoicing voicing(std::array<std::int16_t, part_count> midi, int soprano_fifths = 0) {
  PartVoicing result;
  result.midi = midi;
  result.fifths[3] = static_cast<std::int8_t>(soprano_fifths);
  return result;
}

TEST(FourPartCost, AugmentedStepsBySpelling) {
  const PartVoicing f = voicing({38, 57, 62, 77}, -1);
  const auto cost_to = [&](const char* name, std::int16_t midi) {
    return leading_cost(f, voicing({38, 57, 62, midi}, parse_pitch_class(name)->fifths()), {});
  };
  EXPECT_GT(cost_to("G#", 80), cost_to("Ab", 80));  // an augmented second and a minor third
  EXPECT_EQ(cost_to("F#", 78), cost_to("Gb", 78));  // a semitone, chromatic or not
  EXPECT_LT(cost_to("B", 71), cost_to("Cb", 71));   // falling: a diminished fifth and an augmented fourth
}

TEST(FourPartCost, HiddenOctavesAndOverlaps) {
  const PartVoicing from = voicing({48, 60, 67, 72});
  const PartVoicing open = voicing({53, 60, 69, 77});
  PartVoicing hidden = open;
  hidden.octave_pairs = 1U << 2;
  EXPECT_GT(leading_cost(from, hidden, {}), leading_cost(from, open, {}));
  const PartVoicing by_step = voicing({43, 60, 67, 75});
  PartVoicing stepped = by_step;
  stepped.octave_pairs = 1U << 2;
  EXPECT_EQ(leading_cost(from, stepped, {}), leading_cost(from, by_step, {}));  // contrary motion hides nothing
  // The same moves; the tenor goes above the note that the alto leaves, or stays below it.
  EXPECT_GT(leading_cost(voicing({48, 64, 67, 76}), voicing({53, 69, 69, 76}), {}),
            leading_cost(voicing({48, 64, 70, 76}), voicing({53, 69, 72, 76}), {}));
}

TEST(FourPart, EmptyAndWithoutKeys) {
  EXPECT_TRUE(write_four_parts({}, {}).chords.empty());
  const std::vector<Chord> chords = chords_of("G7 C");
  const FourPart keyless = write_four_parts(chords, {});
  EXPECT_EQ(keyless.chords, write(chords, key_of("C")).chords);
}

// The flat ninth of a dominant falls by a semitone to the fifth of its goal, like the seventh to its third (Kostka &
// Payne, "Tonal Harmony", on dominant ninths; from memory), in every key.
TEST(FourPart, FlatNinthsFall) {
  for (int tonic = -6; tonic <= 5; ++tonic) {
    const Key key{PitchClass(tonic), Mode::minor};
    const Chord dominant = *parse_chord(to_string(key.degree(5)) + "7b9");
    const std::vector<Chord> chords{dominant, key.diatonic_chord(1, 3)};
    const FourPart written = write_four_parts(chords, std::vector<Key>(2, key));
    EXPECT_TRUE(written.broken_rules.empty()) << to_string(key);
    int ninths = 0;
    for (std::size_t v = 0; v < part_count; ++v) {
      if (written.chords[0].voices[v].name() != dominant.root + intervals::minor_second) continue;
      ++ninths;
      EXPECT_EQ(written.chords[0].voices[v].midi() - written.chords[1].voices[v].midi(), 1) << to_string(key);
    }
    EXPECT_EQ(ninths, 1) << to_string(key);
  }
  // Where a narrow range leaves no other way, the rule that gave way is named.
  const PartRanges narrow{{{43, 48}, {59, 60}, {65, 67}, {68, 74}}};
  const std::vector<Chord> rising{*parse_chord("G7b9"), *parse_chord("D/F#")};
  for (const BrokenRule& each : write_four_parts(rising, {}, narrow).broken_rules) EXPECT_FALSE(each.text.empty());
}

}  // namespace
}  // namespace romanesca
