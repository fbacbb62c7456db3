#pragma once

#include <algorithm>
#include <cstdint>
#include <vector>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// Stores a mix between the pass that renders it and the pass that masters it.
class FrameStore {
 public:
  virtual ~FrameStore() = default;
  FrameStore() = default;
  FrameStore(const FrameStore&) = delete;
  FrameStore& operator=(const FrameStore&) = delete;

  /// Appends frames.
  virtual void append(const StereoBlock& block) = 0;
  /// Copies stored frames into a block. @param first frame to copy.
  virtual void read(std::int64_t first, StereoBlock block) = 0;
  [[nodiscard]] virtual std::int64_t frames() const noexcept = 0;
  /// Removes all frames.
  virtual void clear() = 0;
};

/// In memory: for short pieces, and where there is no disk.
class MemoryStore final : public FrameStore {
 public:
  void append(const StereoBlock& block) override {
    left_.insert(left_.end(), block.left, block.left + block.frames);
    right_.insert(right_.end(), block.right, block.right + block.frames);
  }
  void read(std::int64_t first, StereoBlock block) override {
    std::copy_n(left_.begin() + first, block.frames, block.left);
    std::copy_n(right_.begin() + first, block.frames, block.right);
  }
  [[nodiscard]] std::int64_t frames() const noexcept override { return static_cast<std::int64_t>(left_.size()); }
  void clear() override {
    left_.clear();
    right_.clear();
  }

 private:
  std::vector<float> left_, right_;
};

}  // namespace romanesca
