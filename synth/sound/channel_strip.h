#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "synth/sound/instrument.h"
#include "synth/sound/performance.h"
#include "synth/sound/swept_delay.h"

namespace romanesca {

/// Something that happens in a band at a frame.
struct BandAction {
  enum class Kind : std::uint8_t { key_down, key_up, gain, mute };
  std::uint32_t offset = 0;  ///< frames from the start of what is rendered next
  Kind kind = Kind::key_down;
  std::uint8_t part = 0;
  std::uint8_t midi = 0, velocity = 0;  ///< of a key
  std::uint32_t seed = 0;               ///< of a key that goes down
  float gain_db = 0;                    ///< for gain: of the part, -60 to 12
  bool muted = false;                   ///< for mute
};

/// The mixer channel of one part: its player goes through an insert effect, gain and pan into a buffer of its own, so
/// that strips can be rendered in parallel.
class ChannelStrip {
 public:
  struct Settings {
    double sample_rate_hz = 48000;
    std::int64_t period_frames = 0;  ///< see SweptDelay
    std::size_t most_blocks = 16;    ///< that are rendered at once
  };
  ChannelStrip(const Part& part, const KeySet& keys, const Settings& settings);

  /// Renders the next blocks into left() and right(). @param actions of all parts, sorted by offset.
  void render(std::span<const BandAction> actions, std::uint8_t part, std::size_t blocks) noexcept;

  /// What was rendered last; all silence if quiet().
  [[nodiscard]] const float* left() const noexcept { return left_.data(); }
  [[nodiscard]] const float* right() const noexcept { return right_.data(); }
  [[nodiscard]] bool quiet() const noexcept { return quiet_; }
  /// Level sent to the reverb.
  [[nodiscard]] float send() const noexcept { return send_; }
  /// Nothing sounds any more.
  [[nodiscard]] bool silent() const noexcept;

 private:
  void apply(const BandAction& action, std::size_t offset) noexcept;
  void render_block(float* left, float* right) noexcept;
  void update_target_gain() noexcept;

  std::unique_ptr<Player> player_;
  std::optional<SweptDelay> insert_;
  float instrument_gain_db_, part_gain_db_;
  bool muted_;
  float pan_left_, pan_right_, send_;
  float gain_ = 0, target_gain_ = 0;  ///< gain_ reaches the target within some milliseconds
  float smoothing_;
  std::vector<float> left_, right_;  ///< one block more than is rendered: notes extend into the next
  std::size_t rendered_ = 0;         ///< frames, by the last call
  bool overhangs_ = false, quiet_ = true;
};

}  // namespace romanesca
