#pragma once

#include <span>
#include <vector>

#include "theory/text/embedded_text.h"

namespace romanesca {

/// A note of a single voice.
struct VoiceNote {
  double start_s = 0, end_s = 0;
  int midi = 60;      ///< 60 is middle C, as the voice has it: its tuning and its drift taken away
  double pitch = 60;  ///< as it sounded: 69 is 440 Hz (ISO 16)
  bool sure = true;   ///< its pitch was clear most of the time, and no more than 35 cents off
};

/// A recording of a single voice as notes.
struct VoiceReading {
  std::vector<VoiceNote> notes;  ///< one after the other
  double tuning_cents = 0;       ///< of the voice or instrument, above 440 Hz (ISO 16), -54 to 46
  double heard_s = 0;            ///< how long anything sounded
  double clear_s = 0;            ///< of that, with one clear pitch: little of it where several voices sound together
};

/// The embedded weights of the network that finds where the notes of one voice begin: one text.
[[nodiscard]] std::span<const EmbeddedText> voice_weight_texts();

/// Cuts the pitch of a single voice into notes by the Viterbi algorithm: a note costs something to begin, and each
/// frame what it lies off the note; the idea is that of Ryynänen & Klapuri, "Modelling of note events for singing
/// transcription", SAPA 2004, with costs set by hand. The same pitch begins anew where the sound rises. A voice that
/// sinks or rises slowly is followed.
/// @param sound one channel at hearing_rate_hz, full scale 1
[[nodiscard]] VoiceReading notes_of_voice(std::span<const float> sound);

}  // namespace romanesca
