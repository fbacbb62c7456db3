#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// A bell of metal bars, uniform and free at both ends: modes at 1, 2.756, 5.404 and 8.933 times the lowest (Euler's
/// beam; Fletcher & Rossing, ch. 2).
[[nodiscard]] ModalPatch bell(const NoteInput& touch) noexcept;

}  // namespace romanesca
