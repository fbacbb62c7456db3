#include "cli/formats/exercise_json.h"

#include <algorithm>

#include "cli/formats/chords_json.h"

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
  for (const ExplainedWord& word : exercise.words)
    json["words"].push_back({{"word", word.word}, {"means", word.meaning}});
  if (!exercise.caution.empty()) json["caution"] = exercise.caution;
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

std::string check_json(const ExerciseCheck& check) {
  const OrderedJson answer{{"schema", 1},
                           {"right", check.right},
                           {"holds", check.holds},
                           {"not_yet", check.not_yet},
                           {"to_hear", check.to_hear},
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
