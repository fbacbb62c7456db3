#pragma once

#include "synth/sound/modal_patch.h"

namespace romanesca {

/// A vibraphone: metal bars cut so that the second mode is two octaves above the first, and the third near ten times it
/// (Fletcher & Rossing, ch. 19), with a soft mallet. It is meant to be heard through turning fans.
[[nodiscard]] ModalPatch vibraphone(const NoteInput& touch) noexcept;

}  // namespace romanesca
