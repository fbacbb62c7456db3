#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// A section of bowed strings: the harmonics of a saw under a body's broad response, bowed in slowly. It is meant to be
/// heard through a chorus, which makes many players of one.
[[nodiscard]] ModalPatch strings(const NoteInput& touch) noexcept;

}  // namespace romanesca
