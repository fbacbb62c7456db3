#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "cli/options.h"
#include "progressions/exercise.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// What one student takes home.
struct Packet {
  std::string title;                  ///< "For Mira"
  std::vector<std::string> greeting;  ///< the teacher's words, a paragraph each
  std::vector<std::string> missed;    ///< what was done and planned, for one who was away
  std::vector<std::string> days;      ///< what to do on which day
  PlacedProgression placed;           ///< the chords
  HandSettings hand_settings;         ///< of the student's level and span; the page sets its chart by them too
  Hands hands;
  std::string song_title;  ///< of the chords; empty if they have none, or the exercise's
  std::string text;        ///< the chords as the page reads them
  std::string style;       ///< empty for the song's own
  double tempo_bpm = 0;    ///< 0 for the song's own
  std::optional<Exercise> exercise;
};

/// The words on a keyboard with both hands: "left hand E2; right hand G3 finger 1, B3 finger 3".
[[nodiscard]] std::string hands_in_words(const HandsChord& hands);

/// The packet as one HTML file with the program inside. Throws Failure where the program was built without a compiler
/// for WebAssembly.
[[nodiscard]] std::string packet_page(const Packet& packet);
/// The lesson page. @param levels the teacher's own, for the hands of its chart. Throws Failure likewise.
[[nodiscard]] std::string lesson_page(const std::string& text, std::span<const Level> levels);
/// The packet on paper: a PDF file.
[[nodiscard]] std::string packet_pdf(const Packet& packet, const std::string& paper);

}  // namespace romanesca
