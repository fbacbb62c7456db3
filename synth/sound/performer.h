#pragma once

#include <cstdint>
#include <vector>

#include "synth/sound/band.h"
#include "synth/sound/performance.h"
#include "synth/sound/sound_source.h"
#include "synth/sound/timed_action.h"

namespace romanesca {

/// Turns a performance into sound by a band, block by block. Notes start on their exact frame. Allocates in the
/// constructor only; render() does not allocate, lock or throw. The same performance gives the same samples whatever
/// the block lengths and the number of workers.
class Performer final : public SoundSource {
 public:
  struct Settings {
    double sample_rate_hz = 48000;  ///< 8000 to 192000
    bool loop = false;              ///< starts with a lead-in of the rounds before
    Workers* workers = nullptr;     ///< see Band
  };
  /// Events with a part out of range are left out.
  Performer(const Performance& performance, const Settings& settings);
  Performer(const Performance& performance, double sample_rate_hz)
      : Performer(performance, Settings{sample_rate_hz, false, nullptr}) {}

  void render(StereoBlock block) noexcept override;
  [[nodiscard]] std::int64_t length_frames() const noexcept override { return list_.length_frames; }
  [[nodiscard]] std::int64_t lead_in_frames() const noexcept override { return -list_.first_frame; }
  [[nodiscard]] bool finished() const noexcept override;

 private:
  void render_blocks(StereoBlock block) noexcept;

  ActionList list_;
  std::size_t most_frames_;  ///< rendered at once
  Band band_;
  std::size_t next_action_ = 0;
  std::vector<BandAction> actions_;  ///< for the next blocks
  std::int64_t frame_;               ///< first of the next block
  std::vector<float> left_, right_;  ///< a block that the caller has read in part
  std::size_t used_ = block_frames;
};

}  // namespace romanesca
