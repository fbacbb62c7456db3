#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/analysis_json.h"
#include "cli/placed_progression.h"
#include "progressions/exercise.h"
#include "theory/hands.h"

namespace romanesca {

/// What a student takes home.
struct Packet {
  std::string student;              ///< name; empty for nobody in particular
  std::string greeting;             ///< by the teacher; line breaks part paragraphs
  std::vector<std::string> days;    ///< what to do on which day
  std::vector<std::string> done;    ///< for one who was away: what was done last time, a sentence each
  std::vector<std::string> missed;  ///< and what was planned
  std::optional<Exercise> exercise;
  OrderedJson exercise_request;  ///< that makes it again; null without one
  PlacedProgression song;        ///< to play: the song, or what the student may see of the exercise's chords
  Hands hands;                   ///< for it
  std::string advice;            ///< under the chart, or empty
  std::string style;             ///< id; empty for the song's own
  double tempo_bpm = 0;          ///< 0 for the song's own
};

/// The packet's title: that of the exercise, else of the song.
[[nodiscard]] std::string packet_title(const Packet& packet);

/// All of the packet that can be read, as HTML: greeting, days, exercise, chart. Escaped throughout. The player comes
/// into the element with the id "player-place".
[[nodiscard]] std::string packet_markup(const Packet& packet);

/// What the page's script needs to play it.
[[nodiscard]] OrderedJson packet_json(const Packet& packet);

}  // namespace romanesca
