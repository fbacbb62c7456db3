#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// A guitar with nylon strings, plucked by a finger: soft and round.
[[nodiscard]] ModalPatch nylon_guitar(const NoteInput& touch) noexcept;

}  // namespace romanesca
