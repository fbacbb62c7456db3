#include "cli/web/page_data.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

/// Sets the value if the member is a word of the list.
template <typename Value, std::size_t N>
void read_word(const nlohmann::ordered_json& json, const char* name, const std::array<Value, N>& values, Value& value) {
  const auto found = json.find(name);
  if (found == json.end() || !found->is_string()) return;
  const std::string word = found->get<std::string>();
  for (const Value each : values) {
    if (to_string(each) == word) value = each;
  }
}

void read_number(const nlohmann::ordered_json& json, const char* name, int lowest, int highest, int& value) {
  const auto found = json.find(name);
  if (found == json.end() || !found->is_number()) return;
  value = static_cast<int>(std::clamp<double>(found->get<double>(), lowest, highest));
}

void read_flag(const nlohmann::ordered_json& json, const char* name, bool& value) {
  const auto found = json.find(name);
  if (found != json.end() && found->is_boolean()) value = found->get<bool>();
}

using OrderedJson = nlohmann::ordered_json;

std::int64_t ticks(Beats beats) { return std::llround(beats.quarters() * task_ticks); }

}  // namespace

nlohmann::ordered_json hand_settings_json(const HandSettings& settings) {
  return {{"voicing", to_string(settings.voicing)},
          {"left", to_string(settings.left)},
          {"span", settings.span},
          {"inversions", settings.most_inversion},
          {"one_place", settings.one_place},
          {"spare", settings.spare_doublings},
          {"strict", settings.strict_spelling},
          {"loop", settings.loops}};
}

HandSettings read_hand_settings(const nlohmann::ordered_json& json) {
  HandSettings settings;
  settings.loops = true;
  if (!json.is_object()) return settings;
  read_word(json, "voicing", all_voicing_kinds, settings.voicing);
  read_word(json, "left", all_left_hands, settings.left);
  read_number(json, "span", narrowest_span, widest_span, settings.span);
  read_number(json, "inversions", 0, 3, settings.most_inversion);
  read_flag(json, "one_place", settings.one_place);
  read_flag(json, "spare", settings.spare_doublings);
  read_flag(json, "strict", settings.strict_spelling);
  read_flag(json, "loop", settings.loops);
  return settings;
}

OrderedJson task_json(const Exercise& exercise) {
  if (exercise.hidden.empty() && exercise.heard.empty()) return nullptr;
  OrderedJson json{{"hidden", exercise.hidden}, {"text", write_as_played(exercise.progression)}};
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
