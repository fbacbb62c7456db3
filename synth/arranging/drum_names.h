#pragma once

#include <string>
#include <string_view>

namespace romanesca {

// The drums as style files name them, and their General MIDI percussion keys (General MIDI System Level 1, MIDI
// Association). The brush kit has a swirl on 40 (General MIDI 2).

namespace drums {
inline constexpr int kick = 36, side_stick = 37, snare = 38, clap = 39, hat = 42, open_hat = 46;
}  // namespace drums

/// The key of a drum, 35 to 81; 0 for an unknown name.
[[nodiscard]] int drum_key(std::string_view name);
/// What to write instead of an unknown name: "did you mean ride?", or all names.
[[nodiscard]] std::string drum_names_hint(std::string_view name);

}  // namespace romanesca
