#include "cli/web/page_task.h"

#include <cmath>

#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

using OrderedJson = nlohmann::ordered_json;

std::int64_t ticks(Beats beats) { return std::llround(beats.quarters() * task_ticks); }

}  // namespace

OrderedJson task_json(const Exercise& exercise) {
  if (exercise.hidden.empty() && exercise.heard.empty()) return nullptr;
  OrderedJson json{{"hidden", exercise.hidden}, {"text", write_progression(exercise.progression)}};
  if (exercise.answer) {
    json["asks"] = exercise.answer->asks;
    for (const auto& place : exercise.answer->solution) json["solution"].push_back(place.empty() ? "" : place.front());
  }
  if (exercise.heard.empty()) return json;
  OrderedJson notes = OrderedJson::array();
  for (const NoteEvent& event : exercise.heard) {
    notes.push_back({ticks(event.start), ticks(event.length), event.midi, event.velocity});
  }
  json["heard"] = {{"notes", std::move(notes)},
                   {"length", ticks(exercise.heard_length)},
                   {"tempo", exercise.progression.tempo_bpm.value_or(usual_bpm)}};
  return json;
}

}  // namespace romanesca
