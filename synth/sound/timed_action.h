#pragma once

#include <cstdint>
#include <vector>

#include "synth/sound/performance.h"

namespace romanesca {

/// A key going down or up at a frame.
struct TimedAction {
  std::int64_t frame = 0;
  bool down = false;
  std::uint8_t part = 0, midi = 0, velocity = 0;
  std::uint32_t seed = 0;
};

/// The key presses and releases of a performance, in order of time; on one frame keys go up before others go down.
/// Notes of muted or missing parts are left out.
///
/// For a loop there is a lead-in before frame 0: the rounds before, 10 s of them, so that at frame 0 the
/// band is in the state of a later round. The seed of a note depends on the note alone, so
/// every round sounds alike.
struct ActionList {
  std::vector<TimedAction> actions;
  std::int64_t first_frame = 0;    ///< 0, or before it the start of the lead-in; a multiple of block_frames
  std::int64_t length_frames = 0;  ///< of the performance
};

/// The seed of a note's small differences in sound: it depends on its place, pitch, force and part alone.
[[nodiscard]] std::uint32_t note_seed(const NoteEvent& event) noexcept;

/// @param sample_rate_hz 8000 to 192000.
[[nodiscard]] ActionList list_actions(const Performance& performance, double sample_rate_hz, bool loop);

}  // namespace romanesca
