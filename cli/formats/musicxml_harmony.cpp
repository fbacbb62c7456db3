#include "cli/formats/musicxml_harmony.h"

#include <algorithm>
#include <array>
#include <iterator>
#include <string>
#include <vector>

#include "theory/chords/chord_suffix.h"

namespace romanesca {
namespace {

using namespace intervals;
constexpr Interval second = major_second, ninth = major_second + octave, eleventh = perfect_fourth + octave,
                   thirteenth = major_sixth + octave;

struct Kind {
  const char* name;
  std::vector<Interval> tones;
};

/// The kinds of MusicXML 4.0 (musicxml.xsd, kind-value) with the tones that it gives them. Not here: the Neapolitan and
/// augmented sixths and Tristan, which are functions and not chord symbols; "pedal", a bass; "other".
/// Of two that need equally many degrees the earlier is taken: a thirteenth without its eleventh stays a thirteenth.
const std::vector<Kind>& kinds() {
  static const std::vector<Kind> table{
      {"major", {unison, major_third, perfect_fifth}},
      {"minor", {unison, minor_third, perfect_fifth}},
      {"diminished", {unison, minor_third, diminished_fifth}},
      {"augmented", {unison, major_third, augmented_fifth}},
      {"suspended-fourth", {unison, perfect_fourth, perfect_fifth}},
      {"suspended-second", {unison, second, perfect_fifth}},
      {"power", {unison, perfect_fifth}},
      {"major-sixth", {unison, major_third, perfect_fifth, major_sixth}},
      {"minor-sixth", {unison, minor_third, perfect_fifth, major_sixth}},
      {"dominant", {unison, major_third, perfect_fifth, minor_seventh}},
      {"major-seventh", {unison, major_third, perfect_fifth, major_seventh}},
      {"minor-seventh", {unison, minor_third, perfect_fifth, minor_seventh}},
      {"major-minor", {unison, minor_third, perfect_fifth, major_seventh}},
      {"half-diminished", {unison, minor_third, diminished_fifth, minor_seventh}},
      {"diminished-seventh", {unison, minor_third, diminished_fifth, diminished_seventh}},
      {"augmented-seventh", {unison, major_third, augmented_fifth, minor_seventh}},
      {"dominant-13th", {unison, major_third, perfect_fifth, minor_seventh, ninth, eleventh, thirteenth}},
      {"major-13th", {unison, major_third, perfect_fifth, major_seventh, ninth, eleventh, thirteenth}},
      {"minor-13th", {unison, minor_third, perfect_fifth, minor_seventh, ninth, eleventh, thirteenth}},
      {"dominant-11th", {unison, major_third, perfect_fifth, minor_seventh, ninth, eleventh}},
      {"major-11th", {unison, major_third, perfect_fifth, major_seventh, ninth, eleventh}},
      {"minor-11th", {unison, minor_third, perfect_fifth, minor_seventh, ninth, eleventh}},
      {"dominant-ninth", {unison, major_third, perfect_fifth, minor_seventh, ninth}},
      {"major-ninth", {unison, major_third, perfect_fifth, major_seventh, ninth}},
      {"minor-ninth", {unison, minor_third, perfect_fifth, minor_seventh, ninth}},
  };
  return table;
}

struct Degree {
  int value = 0;
  int alter = 0;
  const char* type = "add";
};

bool contains(const std::vector<Interval>& tones, Interval tone) {
  return std::any_of(tones.begin(), tones.end(), [&](Interval each) { return each.fifths() == tone.fifths(); });
}

/// Semitones from the tone that a dominant chord has on this degree.
int above_dominant(Interval tone) {
  constexpr std::array<int, 7> fifths{0, 2, 4, -1, 1, 3, -2};
  return (tone.fifths() - fifths[static_cast<std::size_t>(tone.number() - 1) % 7]) / 7;
}

/// What turns the kind into the chord of these tones.
std::vector<Degree> degrees_between(const Kind& kind, const std::vector<Interval>& tones) {
  std::vector<Degree> degrees;
  std::vector<Interval> added;
  std::copy_if(tones.begin(), tones.end(), std::back_inserter(added),
               [&](Interval tone) { return !contains(kind.tones, tone); });
  for (const Interval tone : kind.tones) {
    if (contains(tones, tone)) continue;
    // A tone with the same letter replaces it.
    const auto instead = std::find_if(added.begin(), added.end(),
                                      [&](Interval each) { return (each.fifths() - tone.fifths()) % 7 == 0; });
    if (instead == added.end()) {
      degrees.push_back({tone.number(), 0, "subtract"});
    } else {
      degrees.push_back({tone.number(), (instead->fifths() - tone.fifths()) / 7, "alter"});
      added.erase(instead);
    }
  }
  for (const Interval tone : added) degrees.push_back({tone.number(), above_dominant(tone), "add"});
  return degrees;
}

void add_name(pugi::xml_node parent, const char* element, PitchClass name) {
  const std::string prefix = element;
  pugi::xml_node node = parent.append_child(element);
  node.append_child((prefix + "-step").c_str()).text() = step_name(name);
  if (name.alteration() != 0) node.append_child((prefix + "-alter").c_str()).text() = name.alteration();
}

void add_no_chord(pugi::xml_node harmony) {
  // MusicXML requires a root; its empty text hides it.
  pugi::xml_node step = harmony.append_child("root").append_child("root-step");
  step.append_attribute("text") = "";
  step.text() = "C";
  pugi::xml_node kind = harmony.append_child("kind");
  kind.append_attribute("text") = "N.C.";
  kind.text() = "none";
}

}  // namespace

const char* step_name(PitchClass name) noexcept {
  constexpr std::array<const char*, 7> steps{"C", "D", "E", "F", "G", "A", "B"};
  // cppcheck-suppress CastIntegerToAddressAtReturn; an element is an address already
  return steps[static_cast<std::size_t>(name.letter())];
}

void add_harmony(pugi::xml_node measure, const std::optional<Chord>& chord) {
  pugi::xml_node harmony = measure.append_child("harmony");
  if (!chord) return add_no_chord(harmony);
  const auto all = chord->type.tones();
  const std::vector<Interval> tones(all.begin(), all.end());
  const Kind* nearest = nullptr;
  std::vector<Degree> degrees;
  for (const Kind& kind : kinds()) {
    std::vector<Degree> needed = degrees_between(kind, tones);
    if (nearest != nullptr && needed.size() >= degrees.size()) continue;
    nearest = &kind;
    degrees = std::move(needed);
  }
  add_name(harmony, "root", chord->root);
  pugi::xml_node kind = harmony.append_child("kind");
  kind.append_attribute("text") = write_chord_suffix(chord->type).c_str();
  kind.text() = nearest->name;
  if (chord->bass != chord->root) add_name(harmony, "bass", chord->bass);
  for (const Degree& each : degrees) {
    pugi::xml_node degree = harmony.append_child("degree");
    degree.append_attribute("print-object") = "no";
    degree.append_child("degree-value").text() = each.value;
    degree.append_child("degree-alter").text() = each.alter;
    degree.append_child("degree-type").text() = each.type;
  }
}

}  // namespace romanesca
