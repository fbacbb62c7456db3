#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// An organ of drawbars: sines at the pitches of pipes of 16, 8, 4, 2 2/3, 2 and 1 1/3 feet, that hold as long as the
/// key is down. The key does not feel the touch, but a little of the upper drawbars follows it here. It is meant to be
/// heard through a turning loudspeaker.
[[nodiscard]] ModalPatch organ(const NoteInput& touch) noexcept;

}  // namespace romanesca
