#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "synth/hearing/pitch_spectrum.h"

namespace romanesca {

/// One moment of a single voice.
struct PitchFrame {
  static constexpr std::size_t hop = 220;  ///< samples at hearing_rate_hz: 10 ms
  static constexpr double frames_per_second = hearing_rate_hz / static_cast<double>(hop);
  bool voiced = false;
  float midi = 0;      ///< 60 is middle C at 440 Hz (ISO 16), with its fraction; 0 without a pitch
  float clarity = 0;   ///< how periodic the sound is, 0 to 1
  float level_db = 0;  ///< re full scale, -120 at least
};

inline constexpr double lowest_voice_hz = 62, highest_voice_hz = 2200;

/// The pitch of a single voice, sung or played, in time; frame i is centred on sample i * PitchFrame::hop.
/// Method: the normalised difference of YIN (de Cheveigné & Kawahara, JASA 111/4, 2002); its minima are candidates with
/// probabilities, joined to a line by the Viterbi algorithm, as in pYIN (Mauch & Dixon, ICASSP 2014). Not a threshold
/// but how deep a minimum is and how short its period makes its probability, which keeps octaves apart in noise.
/// @param sound one channel at hearing_rate_hz, full scale 1
[[nodiscard]] std::vector<PitchFrame> voice_pitch(std::span<const float> sound);

}  // namespace romanesca
