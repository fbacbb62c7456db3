#pragma once

#include <span>

#include "theory/text/embedded_text.h"

namespace romanesca {

/// The page's script and look, as compiled in: worker, engine, keyboard, player, view, lesson; page (its style sheet).
[[nodiscard]] std::span<const EmbeddedText> page_texts();

}  // namespace romanesca
