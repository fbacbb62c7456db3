#pragma once

#include <string>
#include <vector>

#include "synth/hearing/room_check.h"
#include "theory/listening/sounding_tones.h"

namespace romanesca {

/// What the microphone gives, in plain sentences: first what is good, then what to do about the rest.
[[nodiscard]] std::vector<std::string> room_sentences(const RoomReport& report);

/// The tones that are heard, "C E G"; empty where none is sure.
[[nodiscard]] std::string tones_text(const TonesHeard& heard);

}  // namespace romanesca
