#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// A room: eight delay lines that feed each other through an orthogonal matrix, each with its treble damped (feedback
/// delay network: Jot & Chaigne, AES 90th Convention, 1991; the matrix is Householder's). Falls by 60 dB in about 1.3
/// s. Once it has died away below -120 dB it is exactly silent, so it never works on denormal numbers.
class Reverb {
 public:
  /// @param sample_rate_hz 8000 to 192000.
  explicit Reverb(double sample_rate_hz);

  /// Adds the room's answer to the output. @param in mono, @param frames at most slice_frames.
  void add_to(const float* in, float* left, float* right, std::size_t frames) noexcept;
  [[nodiscard]] bool silent() const noexcept { return silent_; }

 private:
  static constexpr std::size_t line_count = 8;
  struct Line {
    std::vector<float> samples;
    std::size_t position = 0;
    /// Calls use(pointer into the line, first frame, frames) for the one or two unbroken runs of the next frames.
    template <typename Use>
    void each_run(std::size_t frames, Use use) noexcept {
      const std::size_t first = frames < samples.size() - position ? frames : samples.size() - position;
      use(samples.data() + position, std::size_t{0}, first);
      if (first < frames) use(samples.data(), first, frames - first);
    }
  };
  void fall_silent() noexcept;

  std::array<Line, line_count> lines_;
  std::array<float, line_count> feedback_{}, damped_{};  ///< gain of each line, and the state of its treble damping
  float damping_;
  bool silent_ = true;
  std::size_t quiet_frames_ = 0;
  std::size_t longest_ = 0;
};

}  // namespace romanesca
