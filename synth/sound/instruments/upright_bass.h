#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// A double bass, plucked: round, with a body that answers at about 100 Hz, and shorter than the electric one.
[[nodiscard]] ModalPatch upright_bass(const NoteInput& touch) noexcept;

}  // namespace romanesca
