#pragma once

#include <string>
#include <vector>

#include "synth/sound/frame_store.h"

namespace romanesca {

/// Keeps a mix in memory as far as it is short, and what is beyond in a temporary file that has no name, so that
/// nothing is left behind however the program ends. Throws SystemError when the disk refuses.
class TemporaryStore final : public FrameStore {
 public:
  /// @param folder for the file: that of the output, which must have room anyway.
  /// @param frames_in_memory the most that are kept there
  explicit TemporaryStore(std::string folder, std::int64_t frames_in_memory = std::int64_t{1} << 22);
  ~TemporaryStore() override;
  TemporaryStore(const TemporaryStore&) = delete;
  TemporaryStore& operator=(const TemporaryStore&) = delete;

  void append(const StereoBlock& block) override;
  void read(std::int64_t first, StereoBlock block) override;
  [[nodiscard]] std::int64_t frames() const noexcept override { return frames_; }
  void clear() override;

 private:
  void take_memory();
  void append_to_file(const StereoBlock& block);
  void read_from_file(std::int64_t first, StereoBlock block);

  std::string folder_;
  std::int64_t frames_in_memory_;
  float* memory_ = nullptr;  ///< the first frames: all of the left, then all of the right
  std::int64_t frames_ = 0;
  int file_ = -1;
  std::vector<float> interleaved_;
};

}  // namespace romanesca
