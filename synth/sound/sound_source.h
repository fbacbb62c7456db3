#pragma once

#include <cstdint>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// Renders the mix of a piece, before mastering.
class SoundSource {
 public:
  virtual ~SoundSource() = default;
  SoundSource() = default;
  SoundSource(const SoundSource&) = delete;
  SoundSource& operator=(const SoundSource&) = delete;

  /// Writes the next frames. Does not allocate, lock or throw, unless the source says otherwise.
  virtual void render(StereoBlock block) noexcept = 0;
  /// Frames of the musical length.
  [[nodiscard]] virtual std::int64_t length_frames() const noexcept = 0;
  /// Frames before the first of the piece, to be rendered and dropped: a loop starts some rounds earlier, so that it
  /// begins in the state of a later round.
  [[nodiscard]] virtual std::int64_t lead_in_frames() const noexcept = 0;
  /// All notes have been played and have died away.
  [[nodiscard]] virtual bool finished() const noexcept = 0;
};

}  // namespace romanesca
