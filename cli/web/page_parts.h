#pragma once

#include <span>

#include "theory/text/embedded_text.h"

namespace romanesca {

/// The compiled-in text files of the page: worker, engine, keyboard, player, view, lesson (script), page (style sheet).
[[nodiscard]] std::span<const EmbeddedText> page_texts();

// The modules of the page: WebAssembly, gzipped; empty if the program was built without a compiler for it.
[[nodiscard]] std::span<const unsigned char> lesson_music_module();
[[nodiscard]] std::span<const unsigned char> packet_music_module();
[[nodiscard]] std::span<const unsigned char> sound_module();
[[nodiscard]] std::span<const unsigned char> sound_plain_module();  ///< for browsers without fixed-width SIMD

}  // namespace romanesca
