#include "cli/formats/exercise_musicxml.h"

#include <algorithm>
#include <numeric>
#include <optional>
#include <pugixml.hpp>

#include "cli/formats/musicxml_harmony.h"
#include "cli/formats/musicxml_note.h"
#include "cli/formats/musicxml_score.h"
#include "cli/formats/written_rhythm.h"

namespace romanesca {
namespace {

/// Bars of notes under a name.
struct Passage {
  std::string name;
  std::vector<MelodyNote> notes;  ///< from the beginning of the piece
  int first_bar = 1, bars = 1;
  bool rhythm_only = false;
  bool chords = false;  ///< with the chord symbols of its bars
};

int bars_of_notes(const std::vector<MelodyNote>& notes, const Meter& meter, int first_bar) {
  const Beats end = notes.back().start + notes.back().length;
  const Beats bar = meter.bar_length();
  const auto whole = static_cast<int>(whole_times(end, bar));
  return std::max(1, whole + (bar * whole == end ? 0 : 1) - (first_bar - 1));
}

std::vector<Passage> passages_of(const Exercise& exercise, bool answers) {
  const Meter meter = exercise.progression.meter();
  std::vector<Passage> passages;
  if (!exercise.rhythm.empty()) {
    Passage rhythm{"rhythm", {}, 1, 1, true, false};
    for (const RhythmNote& note : exercise.rhythm) {
      rhythm.notes.push_back({note.start, note.length, Pitch(PitchClass(5), 4)});
    }
    passages.push_back(std::move(rhythm));
  }
  if (!exercise.melody.empty()) {
    passages.push_back({exercise.melody_name.empty() ? "melody" : exercise.melody_name, exercise.melody, 1,
                        bars_of_notes(exercise.melody, meter, 1), false, exercise.hidden.empty()});
  }
  for (const ExerciseTune& tune : exercise.models) {
    if (tune.notes.empty() || (exercise.models_are_answers && !answers)) continue;
    const int first = 1 + static_cast<int>(whole_times(tune.notes.front().start, meter.bar_length()));
    passages.push_back({tune.label, tune.notes, first, bars_of_notes(tune.notes, meter, first), tune.rhythm_only,
                        !tune.rhythm_only && !exercise.models_are_answers});
  }
  if (exercise.writing_bars > 0) passages.push_back({"write here", {}, 1, exercise.writing_bars, false, false});
  return passages;
}

/// Writes the measures of all passages, one after another.
class PassageWriter {
 public:
  PassageWriter(const Exercise& exercise, pugi::xml_node part)
      : exercise_(exercise),
        timeline_(exercise.timeline()),
        meter_(exercise.progression.meter()),
        part_(part),
        accidentals_(exercise.key.signature()) {}

  void write(const std::vector<Passage>& passages) {
    for (const Passage& passage : passages) {
      for (const MelodyNote& note : passage.notes) {
        divisions_ = std::lcm(divisions_, std::lcm(note.start.denominator(), note.length.denominator()));
      }
    }
    divisions_ = std::lcm(divisions_, meter_.bar_length().denominator());
    for (std::size_t i = 0; i < passages.size(); ++i) {
      for (int bar = 0; bar < passages[i].bars; ++bar) add_measure(passages[i], bar, i + 1 == passages.size());
    }
  }

 private:
  [[nodiscard]] std::int64_t in_divisions(Beats length) const { return (length * divisions_).numerator(); }

  void add_attributes(pugi::xml_node measure) const {
    pugi::xml_node attributes = measure.append_child("attributes");
    attributes.append_child("divisions").text() = static_cast<long long>(divisions_);
    pugi::xml_node key = attributes.append_child("key");
    key.append_child("fifths").text() = exercise_.key.signature();
    key.append_child("mode").text() = std::string(to_string(exercise_.key.mode)).c_str();
    pugi::xml_node time = attributes.append_child("time");
    time.append_child("beats").text() = meter_.upper;
    time.append_child("beat-type").text() = meter_.lower;
    pugi::xml_node clef = attributes.append_child("clef");
    clef.append_child("sign").text() = "G";
    clef.append_child("line").text() = 2;
  }

  void add_measure(const Passage& passage, int bar, bool last) {
    pugi::xml_node measure = part_.append_child("measure");
    measure.append_attribute("number") = ++number_;
    if (number_ == 1) add_attributes(measure);
    if (bar == 0) {
      pugi::xml_node direction = measure.append_child("direction");
      direction.append_attribute("placement") = "above";
      direction.append_child("direction-type").append_child("words").text() = passage.name.c_str();
    }
    add_notes_of_bar(measure, passage, passage.first_bar + bar);
    if (bar + 1 < passage.bars) return;
    pugi::xml_node line = measure.append_child("barline");
    line.append_attribute("location") = "right";
    line.append_child("bar-style").text() = last ? "light-heavy" : "light-light";
  }

  /// A note or a rest of a bar.
  struct Event {
    const MelodyNote* note;  ///< null for a rest
    Beats start, length;     ///< from the beginning of the piece
  };

  void add_notes_of_bar(pugi::xml_node measure, const Passage& passage, int bar) {
    const Beats begins = meter_.bar_length() * (bar - 1);
    const Beats ends = meter_.bar_length() * bar;
    std::vector<Event> events;
    Beats now = begins;
    for (const MelodyNote& note : passage.notes) {
      const Beats from = std::max(note.start, begins);
      const Beats until = std::min(note.start + note.length, ends);
      if (until <= from) continue;
      if (from > now) events.push_back({nullptr, now, from - now});
      events.push_back({&note, from, until - from});
      now = until;
    }
    if (events.empty()) {
      add_chord_symbols(measure, passage, begins, ends);
      return add_bar_rest(measure, in_divisions(meter_.bar_length()), 1);
    }
    if (now < ends) events.push_back({nullptr, now, ends - now});
    accidentals_.start_bar();
    std::vector<Beats> lengths;
    for (const Event& event : events) lengths.push_back(event.length);
    const auto written = written_bar(lengths, meter_);
    for (std::size_t i = 0; i < written.size(); ++i) {
      const Event& event = events[written[i].event];
      const bool from = i > 0 && written[i - 1].event == written[i].event;
      const bool to = i + 1 < written.size() && written[i + 1].event == written[i].event;
      if (!from) add_chord_symbols(measure, passage, event.start, event.start + event.length);
      add_event(measure, passage, event, written[i], from, to);
    }
  }

  void add_event(pugi::xml_node measure, const Passage& passage, const Event& event, const WrittenNote& written,
                 bool from, bool to) {
    WrittenChord chord;
    chord.rhythm = written;
    chord.duration = in_divisions(written.length);
    if (event.note != nullptr) {
      const bool before = event.start > event.note->start;
      const bool after = event.start + event.length < event.note->start + event.note->length;
      chord.notes.push_back({event.note->pitch, 0, from || before, to || after});
    }
    add_notes(measure, chord, accidentals_);
    if (!passage.rhythm_only || event.note == nullptr) return;
    // A rhythm has no pitch: the note is shown where the line is.
    pugi::xml_node note = measure.last_child();
    pugi::xml_node pitch = note.child("pitch");
    pugi::xml_node place = note.insert_child_before("unpitched", pitch);
    place.append_child("display-step").text() = "B";
    place.append_child("display-octave").text() = 4;
    note.remove_child(pitch);
  }

  /// The chords that begin within a stretch of time.
  void add_chord_symbols(pugi::xml_node measure, const Passage& passage, Beats from, Beats until) {
    if (!passage.chords) return;
    for (const TimedChord& timed : timeline_.chords) {
      if (timed.start >= from && timed.start < until) add_harmony(measure, timed.chord);
    }
  }

  const Exercise& exercise_;
  Timeline timeline_;
  Meter meter_;
  pugi::xml_node part_;
  Accidentals accidentals_;
  std::int64_t divisions_ = 1;
  int number_ = 0;
};

}  // namespace

std::string exercise_musicxml(const Exercise& exercise, bool answers) {
  const auto passages = passages_of(exercise, answers);
  if (passages.empty()) return {};
  pugi::xml_document tree;
  pugi::xml_node part = tree.append_child("part");
  PassageWriter(exercise, part).write(passages);
  std::string measures;
  for (const pugi::xml_node measure : part.children()) measures += text_of_measure(measure);
  return musicxml_score(exercise.title, "", "Piano", measures);
}

}  // namespace romanesca
