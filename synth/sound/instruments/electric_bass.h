#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// An electric bass, plucked with a finger near the pickup, which does not hear the modes that have a node over it.
[[nodiscard]] ModalPatch electric_bass(const NoteInput& touch) noexcept;

}  // namespace romanesca
