#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "synth/sound/block_ring.h"

namespace romanesca {

/// A room: eight delay lines that feed each other through an orthogonal matrix, each with damped treble (feedback
/// delay network: Jot & Chaigne, AES 90th Convention, 1991; the matrix is Householder's), after a pre-delay and two
/// allpasses that make the first echoes denser (Schroeder, JAES 10/3, 1962). Falls by 60 dB in about 1.3 s, faster in
/// the treble. The damping is a three-tap FIR filter, not a recursion, so a whole block goes through each step as
/// vector code. Below -120 dB it becomes exactly silent, so it never works on denormal numbers.
class Reverb {
 public:
  /// @param sample_rate_hz 8000 to 192000.
  explicit Reverb(double sample_rate_hz);

  /// Adds the reverberation of one block. @param in mono.
  void add_to(const float* in, float* left, float* right) noexcept;
  [[nodiscard]] bool silent() const noexcept { return silent_; }

 private:
  static constexpr std::size_t line_count = 8;
  struct Line {
    BlockRing past;
    std::size_t delay;
    float middle, side;  ///< taps of the damping, including the line's gain
  };
  struct Allpass {
    BlockRing past;
    std::size_t delay;
  };
  void clear() noexcept;

  std::vector<Line> lines_;
  std::vector<Allpass> allpasses_;
  BlockRing predelay_;
  std::size_t predelay_frames_;
  bool silent_ = true;
  std::size_t quiet_frames_ = 0;
  std::size_t longest_frames_ = 0;
};

}  // namespace romanesca
