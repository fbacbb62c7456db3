#pragma once

#include <span>

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// How a string is plucked, what takes up its sound, and how it dies away.
struct Pluck {
  double position = 0.2;      ///< fraction of the string length, 0 to 0.5: modes with a node there are weak
  double pickup = 0;          ///< place of a magnetic pickup, the same; 0 for a bridge that drives a body
  double soft_modes = 8;      ///< the mode where the width of finger or pick takes off 3 dB; 6 dB an octave beyond
  double highest_hz = 20000;  ///< where body, amplifier or loudspeaker take off 3 dB; 12 dB an octave beyond
  double lowest_hz = 0;       ///< where they take off 6 dB; 6 dB an octave below
  double first_decay_s = 3;   ///< of the first mode, to fall by 60 dB
  double damping = 0.3;       ///< how much quicker each further mode decays
  double quick_share = 0;     ///< of a mode's level that the plane of the pluck loses four times as quickly, 0 to 0.9
  double stiffness = 0;       ///< B of n sqrt(1 + B n^2)
  int modes = 14;
};

/// A resonance of a body.
struct BodyMode {
  double hz = 100;
  double gain = 1;     ///< what it adds to a mode of the string that lies on it
  double knock = 0.1;  ///< its own level when the string is released, relative to the first mode of the string
};

/// Adds the modes of an ideal string released from a triangle. A bridge receives sin(n pi position) / n (Fletcher &
/// Rossing, The Physics of Musical Instruments, 2nd ed. 1998, ch. 2); a magnetic pickup takes the velocity under it,
/// which is that times sin(n pi pickup). Tuned so that the first mode is the note.
void add_plucked_modes(ModalPatch& patch, const Pluck& pluck, double frequency_hz) noexcept;

/// A body of a few resonances: modes of the string near one of them get louder, and the pluck makes the resonances
/// themselves ring for a moment.
void add_body(ModalPatch& patch, std::span<const BodyMode> modes, double frequency_hz, double knock_s) noexcept;

}  // namespace romanesca
