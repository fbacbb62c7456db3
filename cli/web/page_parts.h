#pragma once

#include <span>

namespace romanesca {

// What the page is made of, as bytes in the program; empty if it was built without a compiler for WebAssembly.

// WebAssembly, gzipped.
[[nodiscard]] std::span<const unsigned char> lesson_music_module();
[[nodiscard]] std::span<const unsigned char> packet_music_module();
[[nodiscard]] std::span<const unsigned char> sound_module();
[[nodiscard]] std::span<const unsigned char> hearing_module();  ///< what listens to a microphone

// Text, and the same gzipped: the page carries the second, its policy the hash of the first.
[[nodiscard]] std::span<const unsigned char> lesson_script();
[[nodiscard]] std::span<const unsigned char> lesson_script_packed();
[[nodiscard]] std::span<const unsigned char> packet_script();
[[nodiscard]] std::span<const unsigned char> packet_script_packed();
[[nodiscard]] std::span<const unsigned char> page_style();
[[nodiscard]] std::span<const unsigned char> page_style_packed();
[[nodiscard]] std::span<const unsigned char> page_worker();  ///< the script of the workers
[[nodiscard]] std::span<const unsigned char> page_loader();  ///< the script that unpacks style and script

}  // namespace romanesca
