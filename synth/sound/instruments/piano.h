#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// A piano: stiff strings struck at an eighth of their length by a hammer that is harder the faster it comes. Partials
/// lie at n sqrt(1 + B n^2) (Fletcher & Rossing, The Physics of Musical Instruments, 2nd ed. 1998, ch. 12; B from
/// memory). The lower ones decay in two stages, since the strings of a note fall out of step (Weinreich, JASA 62,
/// 1977).
[[nodiscard]] ModalPatch piano(const NoteInput& touch) noexcept;

}  // namespace romanesca
