#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// A warm synthetic pad: few harmonics that rise slowly, for a chorus to move.
[[nodiscard]] ModalPatch pad(const NoteInput& touch) noexcept;

}  // namespace romanesca
