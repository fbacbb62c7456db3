#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "synth/sound/dc_blocker.h"
#include "synth/sound/performance.h"
#include "synth/sound/reverb.h"
#include "synth/sound/sample_block.h"

namespace romanesca {

/// Turns a performance into sound, block by block. Notes start on their exact frame. All memory is settled in the
/// constructor; render() does not allocate, lock or throw. The same performance gives the same samples however the
/// blocks are cut.
class Performer {
 public:
  /// @param sample_rate_hz 8000 to 192000. Events with a part out of range are left out.
  Performer(const Performance& performance, double sample_rate_hz);

  /// Writes the next frames.
  void render(StereoBlock block) noexcept;

  /// Frames of the musical length.
  [[nodiscard]] std::int64_t length_frames() const noexcept { return length_frames_; }
  /// All notes have been played and nothing sounds any more.
  [[nodiscard]] bool finished() const noexcept;

 private:
  /// A key going down or up at a frame.
  struct Action {
    std::int64_t frame = 0;
    bool down = false;
    std::uint8_t part = 0, midi = 0, velocity = 0;
    std::uint32_t seed = 0;
  };
  struct Seat {
    std::unique_ptr<Player> player;
    float left = 0, right = 0, send = 0;
  };

  void render_slice() noexcept;
  void act(const Action& action) noexcept;

  std::vector<Action> actions_;
  std::size_t next_action_ = 0;
  std::vector<Seat> seats_;
  Reverb reverb_;
  DcBlocker left_blocker_, right_blocker_;
  std::int64_t length_frames_;
  std::int64_t frame_ = 0;  ///< first frame of the next slice
  std::array<float, slice_frames> left_{}, right_{};
  std::size_t used_ = slice_frames;  ///< of the present slice
};

}  // namespace romanesca
