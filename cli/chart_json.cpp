#include "cli/chart_json.h"

namespace romanesca {
namespace {

OrderedJson hand_json(const Voicing& voicing, const std::vector<int>& fingers) {
  OrderedJson notes = OrderedJson::array();
  for (std::size_t i = 0; i < voicing.size(); ++i) {
    OrderedJson note{{"note", to_string(voicing[i])}, {"midi", voicing[i].midi()}};
    if (i < fingers.size()) note["finger"] = fingers[i];
    notes.push_back(std::move(note));
  }
  return notes;
}

}  // namespace

OrderedJson chart_json(const PlacedProgression& placed, const Hands& hands) {
  OrderedJson answer{{"schema", 1}};
  if (!placed.progression.title.empty()) answer["title"] = placed.progression.title;
  answer["key"] = key_json(placed.analysis.keys.main);
  answer["chords"] = chords_json(placed.progression, placed.analysis);
  for (std::size_t i = 0; i < hands.chords.size(); ++i) {
    const HandsChord& chord = hands.chords[i];
    OrderedJson& json = answer["chords"][i];
    json["inversion"] = chord.inversion < 0 ? OrderedJson(nullptr) : OrderedJson(chord.inversion);
    json["right"] = hand_json(chord.right, chord.right_fingers);
    json["left"] = hand_json(chord.left, chord.left_fingers);
  }
  answer["movement"] = {{"semitones", hands.semitones}};
  return answer;
}

}  // namespace romanesca
