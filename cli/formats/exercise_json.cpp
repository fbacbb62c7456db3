#include "cli/formats/exercise_json.h"

#include <algorithm>

#include "cli/formats/chords_json.h"
#include "progressions/exercises/level_step.h"

namespace romanesca {
namespace {

OrderedJson names(const std::vector<PitchClass>& notes) {
  OrderedJson json = OrderedJson::array();
  for (const PitchClass note : notes) json.push_back(to_string(note));
  return json;
}

OrderedJson hand_json(const Voicing& voicing, const Fingers& fingers) {
  OrderedJson json = OrderedJson::array();
  for (std::size_t i = 0; i < voicing.size(); ++i) {
    OrderedJson note{{"note", to_string(voicing[i])}, {"midi", voicing[i].midi()}};
    if (i < fingers.size()) note["finger"] = fingers[i];
    json.push_back(std::move(note));
  }
  return json;
}

/// The material beyond the interface's own fields, each only where the exercise has it.
void add_material(OrderedJson& json, const Exercise& exercise) {
  for (const ChordScale& scale : exercise.safe) {
    json["safe_notes"].push_back(
        {{"tones", names(scale.tones)}, {"passing", names(scale.passing)}, {"tense", names(scale.tense)}});
  }
  for (const RhythmNote& note : exercise.rhythm) {
    json["rhythm"].push_back({{"quarter", note.start.quarters()}, {"quarters", note.length.quarters()}});
  }
  if (!exercise.melody_name.empty()) json["melody_name"] = exercise.melody_name;
  for (const MelodyNote& note : exercise.melody) {
    json["melody"].push_back({{"quarter", note.start.quarters()},
                              {"quarters", note.length.quarters()},
                              {"note", to_string(note.pitch)},
                              {"midi", note.pitch.midi()}});
  }
  for (const ExerciseShape& shape : exercise.shapes) {
    json["shapes"].push_back({{"name", shape.name},
                              {"right", hand_json(shape.hands.right, shape.hands.right_fingers)},
                              {"left", hand_json(shape.hands.left, shape.hands.left_fingers)}});
  }
  for (const NoteEvent& event : exercise.heard) {
    json["heard"].push_back(
        {{"quarter", event.start.quarters()}, {"quarters", event.length.quarters()}, {"midi", event.midi}});
  }
  if (exercise.writing_bars > 0) json["writing_bars"] = exercise.writing_bars;
  if (exercise.song_key) json["song_key"] = to_string(*exercise.song_key);
  for (const ExplainedWord& word : exercise.words)
    json["words"].push_back({{"word", word.word}, {"means", word.meaning}});
  if (!exercise.caution.empty()) json["caution"] = exercise.caution;
}

/// The models, or with the answer key what was heard.
void add_models(OrderedJson& json, const Exercise& exercise, bool answers) {
  if (exercise.models_are_answers && !answers) return;
  for (const ExerciseTune& tune : exercise.models) {
    OrderedJson notes = OrderedJson::array();
    for (const MelodyNote& note : tune.notes) {
      OrderedJson each{{"quarter", note.start.quarters()}, {"quarters", note.length.quarters()}};
      if (!tune.rhythm_only) {
        each["note"] = to_string(note.pitch);
        each["midi"] = note.pitch.midi();
      }
      notes.push_back(std::move(each));
    }
    json["models"].push_back({{"label", tune.label}, {"notes", std::move(notes)}});
  }
}

OrderedJson confusions_json(const ExerciseCheck& check) {
  OrderedJson json = OrderedJson::array();
  for (const Confusion& each : check.confused) json.push_back({{"was", each.was}, {"taken_for", each.taken_for}});
  return json;
}

}  // namespace

OrderedJson exercise_json(const Exercise& exercise, const std::string& choice, bool answers) {
  OrderedJson chords = OrderedJson::array();
  std::string numerals;
  const Timeline timeline = exercise.timeline();
  std::size_t from = 0;
  for (std::size_t i = 0; i < timeline.chords.size(); ++i) {
    const bool open = !answers && std::binary_search(exercise.hidden.begin(), exercise.hidden.end(), i);
    const std::size_t end = std::min(exercise.numerals.find(' ', from), exercise.numerals.size());
    numerals += (i == 0 ? "" : " ") + (open ? "?" : exercise.numerals.substr(from, end - from));
    from = end + 1;
    chords.push_back(open ? "?" : to_string(*timeline.chords[i].chord));
  }
  OrderedJson json{{"id", exercise.id},
                   {"choice", choice},
                   {"kind", to_string(exercise.family)},
                   {"level", exercise.level},
                   {"seed", exercise.seed},
                   {"key", to_string(exercise.key)},
                   {"title", exercise.title},
                   {"goal", exercise.goal},
                   {"steps", exercise.steps},
                   {"progression", numerals},
                   {"chords", std::move(chords)},
                   {"notes", names(exercise.notes)},
                   {"style", exercise.progression.style},
                   {"tempo", exercise.progression.tempo_bpm.value_or(usual_bpm)},
                   {"meter", to_string(exercise.progression.meter())},
                   {"minutes", exercise.minutes},
                   {"character", exercise.character},
                   {"easier", exercise.easier},
                   {"harder", exercise.harder},
                   {"listen", exercise.listen}};
  if (!exercise.made_simpler.empty()) json["made_simpler"] = exercise.made_simpler;
  add_material(json, exercise);
  add_models(json, exercise, answers);
  if (exercise.answer) {
    json["asks"] = exercise.answer->asks;
    if (!exercise.answer->words.empty()) json["choices"] = exercise.answer->words;
    if (answers) json["answer"] = exercise.answer->solution;
  }
  return json;
}

std::string exercises_json(std::span<const Exercise> exercises, bool answers) {
  OrderedJson answer{{"schema", 1}, {"exercises", OrderedJson::array()}};
  for (std::size_t i = 0; i < exercises.size(); ++i) {
    answer["exercises"].push_back(exercise_json(exercises[i], choice_name(i), answers));
  }
  return answer.dump() + "\n";
}

std::string level_steps_json() {
  OrderedJson json{{"schema", 1}, {"levels", OrderedJson::array()}};
  for (const LevelStep& step : level_steps()) {
    OrderedJson intervals = OrderedJson::array();
    for (const Interval interval : step.intervals) intervals.push_back(to_string(interval));
    OrderedJson cadences = OrderedJson::array();
    for (const CadenceKind kind : step.cadences) cadences.push_back(to_string(kind));
    OrderedJson chords = OrderedJson::array();
    for (const ChordType type : step.chords) chords.push_back(to_string(Chord::on(PitchClass(), type)));
    json["levels"].push_back({{"level", step.number},
                              {"harmony", step.harmony},
                              {"hands", step.hands},
                              {"rhythm", step.rhythm},
                              {"ear", step.ear},
                              {"form", step.form},
                              {"intervals", std::move(intervals)},
                              {"degrees", step.degrees},
                              {"chords", std::move(chords)},
                              {"cadences", std::move(cadences)},
                              {"questions", step.questions},
                              {"rounds", step.rounds},
                              {"bars", step.bars},
                              {"loop", step.loop}});
  }
  return json.dump() + "\n";
}

std::string check_json(const ExerciseCheck& check) {
  const OrderedJson answer{{"schema", 1},
                           {"right", check.right},
                           {"holds", check.holds},
                           {"not_yet", check.not_yet},
                           {"to_hear", check.to_hear},
                           {"confused", confusions_json(check)},
                           {"encouragement", check.encouragement}};
  return answer.dump() + "\n";
}

std::string kinds_json(std::span<const ExerciseKind* const> kinds) {
  OrderedJson answer{{"schema", 1}, {"exercises", OrderedJson::array()}};
  for (const ExerciseKind* kind : kinds) {
    answer["exercises"].push_back({{"id", kind->id},
                                   {"kind", to_string(kind->family)},
                                   {"levels", {kind->lowest, kind->highest}},
                                   {"minutes", kind->minutes},
                                   {"character", kind->character}});
  }
  return answer.dump() + "\n";
}

}  // namespace romanesca
