#pragma once

#include <cstdint>
#include <istream>
#include <optional>
#include <string>
#include <vector>

#include "cli/studio/own_settings.h"
#include "progressions/exercise.h"
#include "theory/analysis/placement.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// What a packet is asked to hold, in the words of the command line or of a line of a roster.
struct PacketRequest {
  std::string student;      ///< a name, or that of a student in the record
  std::string progression;  ///< empty: the exercise's, or what the student has chosen last
  std::string key, style, exercise;
  double tempo_bpm = 0;
  int level = 0;                      ///< 0 for the student's, or 3
  std::optional<std::uint64_t> seed;  ///< of the exercise; 1 if not given
  std::string greeting;
  std::vector<std::string> days;
  bool missed = false;
  bool microphone = false;  ///< its page can hear a piano without a cable
  CadenceTerms terms = CadenceTerms::british;
};

/// What one student takes home.
struct Packet {
  std::string title;                  ///< "For Mira"
  std::vector<std::string> greeting;  ///< the teacher's words, a paragraph each
  std::vector<std::string> missed;    ///< what was done and planned, for one who was away
  std::vector<std::string> days;      ///< what to do on which day
  Placement placed;                   ///< the chords
  HandSettings hand_settings;         ///< of the student's level and span; the page sets its chart by them too
  Hands hands;
  std::string song_title;         ///< of the chords; empty if they have none, or the exercise's
  std::string text;               ///< the chords as the page reads them: write_as_played
  std::vector<std::string> sung;  ///< words_by_chord
  std::string style;              ///< empty for the song's own
  double tempo_bpm = 0;           ///< 0 for the song's own
  std::optional<Exercise> exercise;
  bool microphone = false;  ///< its page can hear a piano without a cable
};

/// Makes the packet. An error for a wrong progression, key, level or exercise, and if the record lacks what the
/// packet needs. @param standard_input where a progression "-" is read from
[[nodiscard]] Result<Packet> make_packet(const PacketRequest& request, const StudioFolders& folders,
                                         std::istream& standard_input);

}  // namespace romanesca
