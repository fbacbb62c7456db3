#pragma once

#include <string>
#include <vector>

#include "synth/sound/frame_store.h"

namespace romanesca {

/// Stores the beginning of a mix in memory and the rest in a temporary file without a name, so that nothing is left
/// behind however the program ends. Throws SystemError for a read or write error.
class TemporaryStore final : public FrameStore {
 public:
  /// @param folder for the file: that of the output, which must have the space anyway.
  /// @param frames_in_memory the most that are stored there; by default 20 MB
  explicit TemporaryStore(std::string folder, std::int64_t frames_in_memory = 2'500'000);
  ~TemporaryStore() override;
  TemporaryStore(const TemporaryStore&) = delete;
  TemporaryStore& operator=(const TemporaryStore&) = delete;

  void append(const StereoBlock& block) override;
  void read(std::int64_t first, StereoBlock block) override;
  [[nodiscard]] std::int64_t frames() const noexcept override { return frames_; }
  void clear() override;

 private:
  void allocate_memory();
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
