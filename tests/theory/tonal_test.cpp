// Against an outside library: the tables in tests/reference/tonal, written by its script from npm tonal 6.4.3.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "tests/reference/table.h"
#include "theory/chords/chord.h"
#include "theory/chords/chord_suffix.h"
#include "theory/chords/key.h"
#include "theory/chords/numeral_text.h"
#include "theory/notes/scale.h"

namespace romanesca {
namespace {

using test::reference_rows;
using test::words;

/// Its interval names are "3M" and "5d"; ours "M3" and "d5".
Interval interval_from(const std::string& name) {
  const bool falling = name.front() == '-';
  const std::string rising = falling ? name.substr(1) : name;
  const std::size_t quality = rising.find_first_not_of("0123456789");
  const auto interval = parse_interval(rising.substr(quality) + rising.substr(0, quality));
  EXPECT_TRUE(interval.has_value()) << name;
  return falling ? -*interval : *interval;
}

ChordType type_from(const std::string& intervals) {
  ChordType type;
  for (const std::string& name : words(intervals)) type.add(interval_from(name));
  return type;
}

/// Written forms that mean something else there, or that we do not read, each with the reason.
const std::map<std::string, std::string>& differences() {
  static const std::map<std::string, std::string> all{
      {"4", "there a stack of fourths; here 4 alone suspends the fourth, as in songbooks"},
      {"quartal", "a stack of fourths has no chord symbol here"},
      {"^", "a caret is not read as a triangle"},
      {"phryg", "the name of a scale, not a suffix"},
      {"dom", "a word for the seventh that is not written in charts"},
      {"h", "a half-diminished seventh is written ø, 0 or m7b5"},
      {"h7", "the same"},
      {"oM7", "read, but as dim(maj7): the same notes"},
      {"o7M7", "there the sixth spells the diminished seventh"},
      {"7alt", "there without the flat ninth; here both altered ninths"},
      {"alt7", "there a seventh with a flat ninth and no fifth"},
      {"11", "there without its third; here the third stays on paper and players leave it out"},
      {"11b9", "the same, with a flat ninth"},
      {"7b13", "there the flat thirteenth drives the fifth out; here it is added"},
      {"9b13", "the same"},
      {"M7b6", "there the flat sixth drives the fifth out; here it is added"},
      {"13b5", "there the thirteenth is spelled as a sixth: the same note, another octave"},
      {"m11A", "there an augmented fifth in a minor eleventh; not written in charts"},
      {"M7add13", "there with a ninth as well"},
      {"b9sus", "there a seventh chord; here nothing says seventh"},
      {"67", "two numbers run together"},
      {"7add6", "there spelled as a thirteenth: the same note"},
      {"+5", "there an augmented triad; here +5 after the root raises the fifth: the same notes"},
  };
  return all;
}

TEST(Tonal, ChordFormsMeanTheSameNotes) {
  std::set<std::string> seen_differences;
  int compared = 0;
  for (const auto& row : reference_rows("tonal/chord_types.tsv")) {
    const ChordType wanted = type_from(row[1]);
    for (const std::string& form : words(row[0])) {
      const auto read = parse_chord_suffix(form);
      if (read && *read == wanted) {
        ++compared;
        continue;
      }
      const bool explained = differences().contains(form) || form.find('^') != std::string::npos;
      // A flat fifth and a sharp eleventh, a sharp fifth and a flat sixth sound alike: there one spelling stands for
      // both.
      std::set<int> ours, theirs;
      for (int place = -12; place <= 12; ++place) {
        if (read && read->has(Interval{place, 0})) ours.insert(PitchClass(place).semitone());
        if (wanted.has(Interval{place, 0})) theirs.insert(PitchClass(place).semitone());
      }
      const bool respelled = read && ours == theirs;
      const bool altered_fifth = read && !respelled &&
                                 (form.find("b5") != std::string::npos || form.find("#5") != std::string::npos ||
                                  form.find("b6") != std::string::npos || form.find("#11") != std::string::npos ||
                                  form.find("+4") != std::string::npos || form.find("#4") != std::string::npos);
      if (explained) seen_differences.insert(form);
      EXPECT_TRUE(explained || respelled || altered_fifth)
          << form << " is " << row[1] << " there, here " << (read ? write_chord_suffix(*read) : "not read");
    }
  }
  EXPECT_GT(compared, 140);
}

TEST(Tonal, ChordNotesOnSeventeenRoots) {
  int compared = 0;
  for (const auto& row : reference_rows("tonal/chords.tsv")) {
    const auto read = parse_chord_suffix(row[1]);
    if (!read || differences().contains(row[1])) continue;
    const auto chord = parse_chord(row[0] + row[1]);
    ASSERT_TRUE(chord) << row[0] << row[1];
    std::set<std::string> ours;
    for (const PitchClass tone : chord->tones()) ours.insert(to_string(tone));
    const auto theirs = words(row[2]);
    const std::set<std::string> wanted(theirs.begin(), theirs.end());
    if (ours == wanted) ++compared;
  }
  // Of 106 types on 17 roots; the rest are the types listed above and those spelled otherwise.
  EXPECT_GT(compared, 17 * 70);
}

TEST(Tonal, Scales) {
  for (const auto& row : reference_rows("tonal/scales.tsv")) {
    const auto scale = scale_named(row[1]);
    ASSERT_TRUE(scale) << row[1];
    std::string notes;
    for (const PitchClass note : scale->from(*parse_pitch_class(row[0])))
      notes += (notes.empty() ? "" : " ") + to_string(note);
    EXPECT_EQ(notes, row[2]) << row[0] << " " << row[1];
  }
}

TEST(Tonal, KeysWithTheirTriadsAndSevenths) {
  int keys = 0;
  for (const auto& row : reference_rows("tonal/keys.tsv")) {
    const Key key{*parse_pitch_class(row[0]), *parse_mode(row[1])};
    EXPECT_EQ(key.signature(), std::stoi(row[2])) << to_string(key);
    const auto scale = words(row[3]);
    const auto triads = words(row[4]);
    const auto sevenths = words(row[5]);
    for (int degree = 1; degree <= 7; ++degree) {
      const auto i = static_cast<std::size_t>(degree - 1);
      EXPECT_EQ(to_string(key.degree(degree)), scale[i]);
      EXPECT_EQ(to_string(key.diatonic_chord(degree)), triads[i]);
      EXPECT_EQ(to_string(key.diatonic_chord(degree, 4)), sevenths[i]);
    }
    ++keys;
  }
  EXPECT_EQ(keys, 30);
}

TEST(Tonal, NumeralsInFifteenMajorKeys) {
  for (const auto& row : reference_rows("tonal/numerals.tsv")) {
    const auto numeral = parse_roman(row[1]);
    ASSERT_TRUE(numeral) << row[1];
    const Chord chord = realise(*numeral, {*parse_pitch_class(row[0]), Mode::major});
    std::string notes;
    for (const PitchClass tone : chord.tones()) notes += (notes.empty() ? "" : " ") + to_string(tone);
    EXPECT_EQ(notes, row[3]) << row[1] << " in " << row[0];
  }
}

TEST(Tonal, IntervalArithmetic) {
  for (const auto& row : reference_rows("tonal/intervals.tsv")) {
    const auto note = parse_pitch(row[0]);
    ASSERT_TRUE(note) << row[0];
    const Interval interval = interval_from(row[1]);
    EXPECT_EQ(to_string(*note + interval), row[2]) << row[0] << " " << row[1];
    EXPECT_EQ(to_string(*note - interval), row[3]) << row[0] << " -" << row[1];
    EXPECT_EQ((*note + interval) - *note, interval);
  }
}

}  // namespace
}  // namespace romanesca
