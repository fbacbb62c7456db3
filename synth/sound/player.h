#pragma once

#include <bitset>
#include <cstddef>
#include <cstdint>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// MIDI notes, or keys of a drum kit.
using KeySet = std::bitset<128>;

/// An instrument that plays notes. Allocates in its constructor only; nothing below allocates, locks or throws.
class Player {
 public:
  virtual ~Player() = default;
  Player() = default;
  Player(const Player&) = delete;
  Player& operator=(const Player&) = delete;

  /// Starts a note in the next block. @param midi 0 to 127 @param velocity 1 to 127 @param seed makes the noise of the
  /// attack @param offset first frame of the note within that block, below block_frames.
  virtual void note_on(int midi, int velocity, std::uint32_t seed, std::size_t offset) noexcept = 0;
  /// Releases a key, at the next block of that note.
  virtual void note_off(int midi) noexcept = 0;
  /// Adds one block. Each note has blocks of its own that begin where the note began, so they extend into the
  /// next block of the grid. @param left, right two blocks long.
  virtual void add_to(float* left, float* right) noexcept = 0;
  [[nodiscard]] virtual bool silent() const noexcept = 0;
};

}  // namespace romanesca
