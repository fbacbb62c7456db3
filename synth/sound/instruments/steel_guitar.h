#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// A guitar with steel strings, struck with a pick: bright, with a long ring.
[[nodiscard]] ModalPatch steel_guitar(const NoteInput& touch) noexcept;

}  // namespace romanesca
