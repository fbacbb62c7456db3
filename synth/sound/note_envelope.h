#pragma once

#include <cstddef>

namespace romanesca {

/// The course of one note's level, and where it sounds: a linear attack, then held, then an exponential release. Works
/// block by block with straight lines in between.
class NoteEnvelope {
 public:
  struct Times {
    float attack_s = 0.002f;  ///< 0 to 10; 0 jumps
    float release_s = 0.12f;  ///< time to fall by 60 dB, 0.005 to 10
    float place = 0;          ///< -1 left, 0 middle, 1 right
    std::size_t offset = 0;   ///< first frame within the block
  };
  void start(const Times& times, double sample_rate_hz) noexcept;
  void release() noexcept { released_ = true; }
  /// Falls silent within a few milliseconds, to make room.
  void fade() noexcept;

  /// Adds a block of the tone under the envelope to the output, and goes on to the next.
  /// @param tone one block @param left, right two blocks
  void add_shaped(const float* tone, float* left, float* right) noexcept;

  [[nodiscard]] bool released() const noexcept { return released_; }
  [[nodiscard]] float level() const noexcept { return attack_ < level_ ? attack_ : level_; }

 private:
  float attack_ = 0, attack_step_ = 1;  ///< rises to 1, per frame
  float level_ = 0, keep_ = 0;          ///< falls once released, factor per block
  float fading_keep_ = 0;
  float left_gain_ = 1, right_gain_ = 1;
  std::size_t offset_ = 0;
  bool released_ = false;
};

}  // namespace romanesca
