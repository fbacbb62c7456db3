#pragma once

#include <cstddef>

namespace romanesca {

/// Envelope and pan of one note: linear attack, sustain, exponential release. Works block by block, linear in between.
class NoteEnvelope {
 public:
  struct Times {
    float attack_s = 0.002f;  ///< 0 to 10; 0 jumps
    float release_s = 0.12f;  ///< time to fall by 60 dB, 0.005 to 10
    float pan = 0;            ///< -1 left, 0 middle, 1 right
    std::size_t offset = 0;   ///< first frame within the block
  };
  void start(const Times& times, double sample_rate_hz) noexcept;
  void release() noexcept { released_ = true; }
  /// Fades out within a few milliseconds, for voice stealing.
  void fade() noexcept;

  /// Adds a block of the tone times the envelope to the output, and moves on to the next.
  /// @param tone one block @param left, right two blocks
  void add_shaped(const float* tone, float* left, float* right) noexcept;

  [[nodiscard]] bool released() const noexcept { return released_; }
  [[nodiscard]] float level() const noexcept { return attack_ < level_ ? attack_ : level_; }

 private:
  float attack_ = 0, attack_step_ = 1;  ///< rises to 1, per frame
  float level_ = 0, decay_ = 0;         ///< level falls once released; factor per block
  float fade_decay_ = 0;
  float left_gain_ = 1, right_gain_ = 1;
  std::size_t offset_ = 0;
  bool released_ = false;
};

}  // namespace romanesca
