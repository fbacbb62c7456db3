#pragma once

#include <memory>
#include <span>
#include <vector>

#include "synth/sound/channel_strip.h"
#include "synth/sound/offset_remover.h"
#include "synth/sound/reverb.h"
#include "synth/sound/sample_block.h"

namespace romanesca {

/// Runs independent tasks, in any order, perhaps in parallel. The sound core knows no threads; WorkerThreads in
/// synth/files implements this.
class Workers {
 public:
  /// What to do with the number of a task.
  struct Job {
    void (*run)(void* context, std::size_t number) noexcept;
    void* context;
  };
  virtual ~Workers() = default;
  Workers() = default;
  Workers(const Workers&) = delete;
  Workers& operator=(const Workers&) = delete;
  /// Returns when tasks 0 to @p count - 1 are done.
  virtual void run(std::size_t count, const Job& job) noexcept = 0;
};

/// The mixer of the band: a channel strip for each part and the reverb that they share. Its input is a list of actions:
/// from a performance when a file is made, from a queue when it is played live. Allocates in the constructor only;
/// render() does not allocate, lock or throw.
class Band {
 public:
  struct Settings {
    double sample_rate_hz = 48000;   ///< 8000 to 192000
    std::int64_t period_frames = 0;  ///< of a loop, whose length modulation cycles must divide; 0 for none
    std::size_t most_blocks = 16;    ///< that are rendered at once, 1 to 1024
    Workers* workers = nullptr;      ///< to render strips in parallel; null for one after the other
  };
  /// @param keys for each part, the notes that it will play; for fewer sets than parts, the rest may play all.
  Band(std::span<const Part> parts, std::span<const KeySet> keys, const Settings& settings);
  ~Band();

  /// Renders whole blocks. @param block frames a multiple of block_frames, at most most_blocks of them.
  /// @param actions sorted by offset, which lies within the block; those of missing parts are left out.
  void render(StereoBlock block, std::span<const BandAction> actions) noexcept;

  /// Nothing sounds any more.
  [[nodiscard]] bool silent() const noexcept;

 private:
  struct Task;
  void mix(StereoBlock block) noexcept;

  std::vector<std::unique_ptr<ChannelStrip>> strips_;
  Reverb reverb_;
  OffsetRemover left_offset_, right_offset_;
  Workers* workers_;
};

}  // namespace romanesca
