#include "cli/formats/musicxml_note.h"

#include <algorithm>
#include <array>
#include <string>

#include "cli/formats/musicxml_harmony.h"

namespace romanesca {
namespace {

int alteration_in(int signature, int letter) {
  // Sharps come in the order of fifths, F first: each letter gets one for every seven from its place on.
  const int place = PitchClass::of(letter, 0).fifths() + 1;
  const int steps = signature - place + 6;
  return steps >= 0 ? steps / 7 : -((-steps + 6) / 7);
}

void add_pitch(pugi::xml_node note, const Pitch& pitch) {
  pugi::xml_node node = note.append_child("pitch");
  node.append_child("step").text() = step_name(pitch.name());
  if (pitch.name().alteration() != 0) node.append_child("alter").text() = pitch.name().alteration();
  node.append_child("octave").text() = pitch.octave();
}

void add_value(pugi::xml_node note, NoteValue value) {
  note.append_child("type").text() = std::string(type_name(value)).c_str();
  if (value.dotted) note.append_child("dot");
}

void add_time_modification(pugi::xml_node note, const Tuplet& tuplet) {
  pugi::xml_node node = note.append_child("time-modification");
  node.append_child("actual-notes").text() = tuplet.actual;
  node.append_child("normal-notes").text() = tuplet.normal;
  node.append_child("normal-type").text() = std::string(type_name(tuplet.unit)).c_str();
}

void add_tuplet_mark(pugi::xml_node notations, const Tuplet& tuplet) {
  pugi::xml_node node = notations.append_child("tuplet");
  node.append_attribute("type") = tuplet.opens ? "start" : "stop";
  if (!tuplet.opens) return;
  node.append_attribute("bracket") = "yes";
  // Three for two is understood; for any other ratio both numbers are written.
  const bool triplet = tuplet.actual == 3 && tuplet.normal == 2;
  node.append_attribute("show-number") = triplet ? "actual" : "both";
}

/// @param sounding null for a rest @param first the one note of a chord that carries the tuplet's bracket
void add_notations(pugi::xml_node note, const WrittenChord& chord, const WrittenChord::Note* sounding, bool first) {
  pugi::xml_node notations = note.append_child("notations");
  if (sounding != nullptr && sounding->tied_from) notations.append_child("tied").append_attribute("type") = "stop";
  if (sounding != nullptr && sounding->tied_to) notations.append_child("tied").append_attribute("type") = "start";
  const std::optional<Tuplet>& tuplet = chord.rhythm.tuplet;
  if (first && tuplet && (tuplet->opens || tuplet->closes)) add_tuplet_mark(notations, *tuplet);
  if (sounding != nullptr && sounding->finger != 0 && !sounding->tied_from) {
    pugi::xml_node fingering = notations.append_child("technical").append_child("fingering");
    fingering.append_attribute("placement") = chord.staff == 1 ? "above" : "below";
    fingering.text() = sounding->finger;
  }
  if (!notations.first_child()) note.remove_child(notations);
}

/// @param sounding null for a rest
void add_note(pugi::xml_node measure, const WrittenChord& chord, const WrittenChord::Note* sounding, bool first,
              Accidentals& accidentals) {
  pugi::xml_node note = measure.append_child("note");
  if (!first) note.append_child("chord");
  if (sounding != nullptr) {
    add_pitch(note, sounding->pitch);
  } else {
    note.append_child("rest");
  }
  note.append_child("duration").text() = static_cast<long long>(chord.duration);
  if (sounding != nullptr && sounding->tied_from) note.append_child("tie").append_attribute("type") = "stop";
  if (sounding != nullptr && sounding->tied_to) note.append_child("tie").append_attribute("type") = "start";
  note.append_child("voice").text() = chord.staff;
  add_value(note, chord.rhythm.value);
  if (sounding != nullptr && !sounding->tied_from) {
    if (const char* sign = accidentals.needed_for(sounding->pitch)) note.append_child("accidental").text() = sign;
  }
  if (chord.rhythm.tuplet) add_time_modification(note, *chord.rhythm.tuplet);
  note.append_child("staff").text() = chord.staff;
  add_notations(note, chord, sounding, first);
  if (!first) return;
  for (const Lyric& words : chord.lyrics) {
    pugi::xml_node lyric = note.append_child("lyric");
    if (words.verse > 0) lyric.append_attribute("number") = static_cast<unsigned>(words.verse);
    lyric.append_child("syllabic").text() = words.syllabic.c_str();
    lyric.append_child("text").text() = words.text.c_str();
    if (words.extends) lyric.append_child("extend");
  }
}

}  // namespace

const char* Accidentals::needed_for(const Pitch& pitch) {
  constexpr std::array<const char*, 7> signs{"triple-flat", "flat-flat",    "flat",        "natural",
                                             "sharp",       "double-sharp", "triple-sharp"};
  const PitchClass name = pitch.name();
  int in_force = alteration_in(signature_, name.letter());
  const auto before = std::find_if(written_.begin(), written_.end(), [&](const Pitch& each) {
    return each.name().letter() == name.letter() && each.octave() == pitch.octave();
  });
  if (before != written_.end()) {
    in_force = before->name().alteration();
    *before = pitch;
  } else {
    written_.push_back(pitch);
  }
  const int alteration = name.alteration();
  if (in_force == alteration || alteration < -3 || alteration > 3) return nullptr;
  return *(signs.begin() + 3 + alteration);
}

void add_notes(pugi::xml_node measure, const WrittenChord& chord, Accidentals& accidentals) {
  if (chord.notes.empty()) add_note(measure, chord, nullptr, true, accidentals);
  for (const WrittenChord::Note& note : chord.notes) {
    add_note(measure, chord, &note, &note == &chord.notes.front(), accidentals);
  }
}

void add_bar_rest(pugi::xml_node measure, std::int64_t duration, int staff) {
  pugi::xml_node note = measure.append_child("note");
  note.append_child("rest").append_attribute("measure") = "yes";
  note.append_child("duration").text() = static_cast<long long>(duration);
  note.append_child("voice").text() = staff;
  note.append_child("staff").text() = staff;
}

}  // namespace romanesca
