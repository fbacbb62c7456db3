#pragma once

#include <memory>
#include <span>
#include <vector>

#include "synth/sound/channel_strip.h"
#include "synth/sound/offset_remover.h"
#include "synth/sound/reverb.h"
#include "synth/sound/sample_block.h"

namespace romanesca {

/// Does tasks that do not depend on each other, in any order, perhaps at the same time. The sound core knows no
/// threads; the files half has a crew of them.
class Workers {
 public:
  /// A task: what to do with the number of it.
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

/// The players at their places in a room: strips, and the reverb that they share. What happens in it comes from
/// outside, as actions: from a performance when a file is made, from a queue when it is played live. All memory is
/// settled in the constructor; render() does not allocate, lock or throw.
class Band {
 public:
  struct Settings {
    double sample_rate_hz = 48000;   ///< 8000 to 192000
    std::int64_t period_frames = 0;  ///< of a loop, into which slow movements must fit; 0 for none
    std::size_t most_blocks = 16;    ///< that are rendered at once, 1 to 1024
    Workers* workers = nullptr;      ///< to render strips side by side; nothing for one after the other
  };
  /// @param keys for each part, the notes that it will play; for fewer sets than parts, the rest may play all.
  Band(std::span<const Part> parts, std::span<const KeySet> keys, const Settings& settings);
  ~Band();

  /// Renders whole blocks. @param block frames a multiple of block_frames, at most most_blocks of them.
  /// @param actions sorted by offset, which lies within the block; those for a part that is not there are left out.
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
