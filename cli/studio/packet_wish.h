#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cli/console.h"
#include "cli/studio/packet.h"

namespace romanesca {

/// What a packet is asked to hold, in the words of the command line or of a line of a roster.
struct PacketWish {
  std::string student;      ///< a name, or that of a student in the record
  std::string progression;  ///< empty: the exercise's, or what the student has chosen last
  std::string key, style, exercise;
  double tempo_bpm = 0;
  int level = 0;                      ///< 0 for the student's, or 3
  std::optional<std::uint64_t> seed;  ///< of the exercise; 1 where not said
  std::string greeting;
  std::vector<std::string> days;
  bool missed = false;
};

/// Makes the packet. Throws Failure: for a progression, key, level or exercise that is none, and where the record
/// knows nothing that it would need.
[[nodiscard]] Packet make_packet(const PacketWish& wish, Console& console);

}  // namespace romanesca
