#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "synth/live/live_engine.h"
#include "synth/sound/band.h"
#include "synth/sound/compressor.h"
#include "synth/sound/limiter.h"
#include "synth/sound/performance.h"

namespace romanesca {

/// The players of a piece, with the gain for their target loudness. The last part plays the clicks of the count-in.
struct LivePlayers {
  LivePlayers(const LivePiece& piece, double sample_rate_hz, double gain_db);
  Band band;
  std::uint8_t click_part;
  double gain_db;
};

/// Plays an engine's piece on the built-in instruments, block by block, as an audio device requests it. Time is
/// counted in samples. After a change of players the old ones ring on. Only the constructor allocates, locks or throws.
class LiveBand final : public LiveSink {
 public:
  /// @param sample_rate_hz 8000 to 192000
  LiveBand(LiveEngine& engine, double sample_rate_hz);

  /// Renders the next frames, any number of them.
  void render(StereoBlock block) noexcept;
  /// The time of the next frame, in the engine's nanoseconds.
  [[nodiscard]] std::int64_t now_ns() const noexcept;
  [[nodiscard]] double sample_rate_hz() const noexcept { return sample_rate_hz_; }

  void key_down(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi, std::uint8_t velocity) noexcept override;
  void key_up(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi) noexcept override;
  void piece_changed(std::int64_t due_ns, const LivePiece& piece) noexcept override;
  void click(std::int64_t due_ns, bool first_of_bar) noexcept override;
  void transport(std::int64_t /*due_ns*/, Transport /*what*/) noexcept override {}
  void clock(std::int64_t /*due_ns*/) noexcept override {}
  void silence(std::int64_t due_ns) noexcept override;

 private:
  /// A band and its actions in the present block.
  struct BandSlot {
    static constexpr std::size_t most_actions = 2048;  ///< in one block: every key of every part, once
    LivePlayers* players = nullptr;
    std::array<BandAction, most_actions> actions;
    std::size_t count = 0;
    void add(const BandAction& action) noexcept {
      if (players != nullptr && count < most_actions) actions[count++] = action;
    }
  };
  [[nodiscard]] std::uint32_t offset_of(std::int64_t due_ns) const noexcept;
  void render_block() noexcept;

  LiveEngine& engine_;
  double sample_rate_hz_;
  BandSlot current_, fading_;
  Compressor compressor_;
  Limiter limiter_;
  float gain_ = 1;
  bool first_ = true;
  std::uint32_t seed_ = 1;
  std::int64_t frame_ = 0;  ///< first of the next block
  std::int64_t fading_until_ = 0;
  alignas(64) std::array<float, block_frames> left_{}, right_{}, other_left_{}, other_right_{};
  std::size_t used_ = block_frames;
};

/// The gain in dB, before the limiter, that brings a performance to a loudness, measured on its first half minute. 0
/// for a silent one. @param loudness_lufs integrated, -40 to -8
[[nodiscard]] double live_gain_db(const Performance& performance, double sample_rate_hz, double loudness_lufs);

}  // namespace romanesca
