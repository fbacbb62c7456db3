// Every chord type as a <harmony>, read back by the rules of MusicXML 4.0, independently of the program's code.
#include "cli/formats/musicxml_harmony.h"

#include <gtest/gtest.h>

#include <map>
#include <set>
#include <sstream>
#include <string>

#include "theory/chords/chord_suffix.h"

namespace romanesca {
namespace {

/// Semitones above the root by degree; degrees above the octave are 9, 11 and 13, in semitones less an octave.
using Tones = std::multimap<int, int>;

/// Semitones of each degree in a dominant chord, to which added degrees relate.
int in_dominant_chord(int degree) {
  static const int semitones[] = {0, 2, 4, 5, 7, 9, 10};
  return semitones[(degree - 1) % 7];
}

/// The tones of a kind after musicxml.xsd, kind-value: a triad and what is added to it.
Tones tones_of_kind(const std::string& kind) {
  static const std::map<std::string, Tones> kinds{{"major", {{1, 0}, {3, 4}, {5, 7}}},
                                                  {"minor", {{1, 0}, {3, 3}, {5, 7}}},
                                                  {"augmented", {{1, 0}, {3, 4}, {5, 8}}},
                                                  {"diminished", {{1, 0}, {3, 3}, {5, 6}}},
                                                  {"dominant", {{1, 0}, {3, 4}, {5, 7}, {7, 10}}},
                                                  {"major-seventh", {{1, 0}, {3, 4}, {5, 7}, {7, 11}}},
                                                  {"minor-seventh", {{1, 0}, {3, 3}, {5, 7}, {7, 10}}},
                                                  {"diminished-seventh", {{1, 0}, {3, 3}, {5, 6}, {7, 9}}},
                                                  {"augmented-seventh", {{1, 0}, {3, 4}, {5, 8}, {7, 10}}},
                                                  {"half-diminished", {{1, 0}, {3, 3}, {5, 6}, {7, 10}}},
                                                  {"major-minor", {{1, 0}, {3, 3}, {5, 7}, {7, 11}}},
                                                  {"major-sixth", {{1, 0}, {3, 4}, {5, 7}, {6, 9}}},
                                                  {"minor-sixth", {{1, 0}, {3, 3}, {5, 7}, {6, 9}}},
                                                  {"suspended-second", {{1, 0}, {2, 2}, {5, 7}}},
                                                  {"suspended-fourth", {{1, 0}, {4, 5}, {5, 7}}},
                                                  {"power", {{1, 0}, {5, 7}}}};
  if (const auto found = kinds.find(kind); found != kinds.end()) return found->second;
  static const std::map<std::string, std::string> below{
      {"dominant", "dominant"}, {"major", "major-seventh"}, {"minor", "minor-seventh"}};
  Tones tones = kinds.at(below.at(kind.substr(0, kind.find('-'))));
  tones.insert({9, 2});
  if (kind.ends_with("-11th") || kind.ends_with("-13th")) tones.insert({11, 5});
  if (kind.ends_with("-13th")) tones.insert({13, 9});
  return tones;
}

void apply(pugi::xml_node degree, Tones& tones) {
  const int value = degree.child("degree-value").text().as_int();
  const int alter = degree.child("degree-alter").text().as_int();
  const std::string type = degree.child_value("degree-type");
  const auto there = tones.find(value);
  if (type == "add") {
    tones.insert({value, in_dominant_chord(value) + alter});
    return;
  }
  ASSERT_NE(there, tones.end()) << type << " of degree " << value << ", which the kind does not have";
  if (type == "alter") {
    there->second += alter;
  } else {
    EXPECT_EQ(type, "subtract");
    EXPECT_EQ(alter, 0);
    tones.erase(there);
  }
}

/// Letters above the root and semitones, so that a sharp ninth and a minor third differ.
std::multiset<std::pair<int, int>> spelled(const Tones& tones) {
  std::multiset<std::pair<int, int>> result;
  for (const auto& tone : tones) result.insert({(tone.first - 1) % 7, tone.second});
  return result;
}

void expect_same_tones(const Chord& chord, const std::string& suffix) {
  pugi::xml_document measure;
  add_harmony(measure, chord);
  const pugi::xml_node harmony = measure.child("harmony");
  EXPECT_EQ(harmony.child("kind").attribute("text").value(), suffix);
  Tones tones = tones_of_kind(harmony.child_value("kind"));
  for (const auto degree : harmony.children("degree")) {
    EXPECT_STREQ(degree.attribute("print-object").value(), "no");
    apply(degree, tones);
  }
  std::multiset<std::pair<int, int>> expected;
  for (const Interval tone : chord.type.tones()) {
    const int octaves = tone.letters() / 7;
    expected.insert({tone.letters() % 7, tone.semitones() - 12 * octaves});
  }
  std::ostringstream text;
  measure.save(text);
  EXPECT_EQ(spelled(tones), expected) << suffix << "\n" << text.str();
}

TEST(MusicXmlHarmony, EveryChordTypeKeepsItsTones) {
  for (const ChordTypeRow& row : chord_type_rows()) {
    expect_same_tones(Chord::on(PitchClass::of(3, 1), row.type), write_chord_suffix(row.type));
  }
  EXPECT_GE(chord_type_rows().size(), 50U);
}

TEST(MusicXmlHarmony, AlteredAndAddedTonesAreKept) {
  for (const char* suffix :
       {"7(b9,b13)", "7(#9,b13)", "maj7(#11)", "m7(add11)", "7(no3)",       "maj9(#11)", "13(b9)",
        "m(add9)",   "sus2(b9)",  "7sus4(b9)", "13(#11)",   "(no5)",        "6(add11)",  "m6(add11)",
        "(add#11)",  "7(no1)",    "dim7(b13)", "m7b5(b9)",  "9sus4(add13)", "7alt"}) {
    const auto type = parse_chord_suffix(suffix);
    ASSERT_TRUE(type) << suffix;
    expect_same_tones(Chord::on(PitchClass::of(0, 0), *type), write_chord_suffix(*type));
  }
}

TEST(MusicXmlHarmony, UsesTheNearestKind) {
  const std::map<std::string, std::string> expected{{"", "major"},
                                                    {"m7", "minor-seventh"},
                                                    {"m7b5", "half-diminished"},
                                                    {"13", "dominant-13th"},
                                                    {"7sus4", "suspended-fourth"},
                                                    {"5", "power"},
                                                    {"m(maj7)", "major-minor"},
                                                    {"7#5", "augmented-seventh"},
                                                    {"9", "dominant-ninth"},
                                                    {"7b9", "dominant"},
                                                    {"6/9", "major-sixth"},
                                                    {"maj7#11", "major-seventh"}};
  for (const auto& [suffix, kind] : expected) {
    pugi::xml_document measure;
    add_harmony(measure, Chord::on(PitchClass(0), parse_chord_suffix(suffix).value()));
    EXPECT_EQ(measure.child("harmony").child_value("kind"), kind) << suffix;
  }
}

TEST(MusicXmlHarmony, RootAndBassAreSpelled) {
  pugi::xml_document measure;
  add_harmony(measure, parse_chord("Bbm7/Db"));
  add_harmony(measure, parse_chord("F#"));
  const pugi::xml_node first = measure.first_child();
  EXPECT_STREQ(first.child("root").child_value("root-step"), "B");
  EXPECT_STREQ(first.child("root").child_value("root-alter"), "-1");
  EXPECT_STREQ(first.child("bass").child_value("bass-step"), "D");
  EXPECT_STREQ(first.child("bass").child_value("bass-alter"), "-1");
  const pugi::xml_node second = first.next_sibling();
  EXPECT_STREQ(second.child("root").child_value("root-alter"), "1");
  EXPECT_FALSE(second.child("bass"));
}

TEST(MusicXmlHarmony, NoChordHasTheKindNone) {
  pugi::xml_document measure;
  add_harmony(measure, std::nullopt);
  const pugi::xml_node harmony = measure.first_child();
  EXPECT_STREQ(harmony.child_value("kind"), "none");
  EXPECT_STREQ(harmony.child("kind").attribute("text").value(), "N.C.");
  const pugi::xml_attribute shown = harmony.child("root").child("root-step").attribute("text");
  EXPECT_TRUE(shown);
  EXPECT_STREQ(shown.value(), "");
}

}  // namespace
}  // namespace romanesca
