#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// How a string is plucked, and how it dies away.
struct Pluck {
  double place = 0.2;        ///< where, as a part of the length, 0 to 0.5: modes with a node there stay silent
  double width = 0.02;       ///< of finger or pick, as a part of the length: wider takes the upper modes away
  double first_decay_s = 3;  ///< of the first mode, to fall by 60 dB
  double damping = 0.3;      ///< how much quicker each further mode decays
  double stiffness = 0;      ///< B of n sqrt(1 + B n^2)
  int modes = 14;
};

/// Adds the modes of an ideal string that is let go from a triangle, as the bridge hears them: the force of mode n is
/// sin(n pi place) / n (Fletcher & Rossing, ch. 2), smoothed by the width of what plucks. Tuned so that the first mode
/// is the note.
void add_plucked_modes(ModalPatch& recipe, const Pluck& pluck) noexcept;

}  // namespace romanesca
