#include "cli/web/packet.h"
#include "cli/web/page_answer.h"
#include "cli/web/page_exercise.h"
#include "cli/web/page_song.h"

namespace romanesca {

Parsed<PageAnswer> packet_answer(const PageRequest& request) {
  Packet packet;
  packet.student = request.text("student");
  packet.greeting = request.text("greeting");
  packet.days = request.texts("days");
  packet.style = request.text("style");
  packet.tempo_bpm = request.number("tempo", 0);
  if (request.has("exercise")) {
    const PageRequest asked = request.part("exercise");
    Parsed<std::vector<Exercise>> exercises = page_exercises(asked);
    if (!exercises) return exercises.error();
    packet.exercise = std::move(exercises->front());
    packet.exercise_request = asked.json();
    Parsed<PlacedProgression> placed = try_place({packet.exercise->shown(), packet.exercise->title, {}},
                                                 KeyText{packet.exercise->key.tonic, packet.exercise->key.mode});
    if (!placed) return placed.error();
    packet.song = std::move(*placed);
  } else {
    Parsed<PlacedProgression> placed = page_song(request);
    if (!placed) return placed.error();
    packet.song = std::move(*placed);
  }
  const Analysis& analysis = packet.song.analysis;
  packet.hands = hands_for(analysis.timeline, page_hands(request), analysis.keys.by_bar);
  PageAnswer answer;
  answer.json = {{"title", packet_title(packet)}, {"main", packet_markup(packet)}, {"data", packet_json(packet)}};
  return answer;
}

}  // namespace romanesca
