#pragma once

#include <atomic>
#include <memory>
#include <string>
#include <vector>

#include "synth/live/live_band.h"
#include "synth/live/live_devices.h"
#include "synth/live/port_list.h"

class RtAudio;

namespace romanesca {

/// The audio devices with a stereo output.
[[nodiscard]] std::vector<PortInfo> audio_outputs();

/// Plays an engine on an audio device, on the thread of that device.
class Speakers final : public LiveOutput {
 public:
  static constexpr double sample_rate_hz = 48000;

  /// Throws SystemError.
  Speakers(LiveEngine& engine, AudioDeviceSettings settings);
  ~Speakers() override;

  [[nodiscard]] State check() override;
  [[nodiscard]] std::int64_t offset_ns() const noexcept override { return offset_ns_.load(std::memory_order_relaxed); }
  /// Render times of the buffers, in place of lateness.
  [[nodiscard]] TimingStats::Summary lateness() const noexcept override { return work_.summary(); }
  [[nodiscard]] std::uint32_t underruns() const noexcept override { return underruns_.load(std::memory_order_relaxed); }
  [[nodiscard]] std::string name() const override { return name_; }
  bool end() override;

 private:
  static int on_block(void* out, void* in, unsigned frames, double time, unsigned status, void* self) noexcept;
  void render(float* out, unsigned frames, bool underrun) noexcept;
  void open();
  void close() noexcept;

  AudioDeviceSettings settings_;
  LiveBand band_;
  std::unique_ptr<RtAudio> audio_;
  std::string name_;
  std::int64_t latency_ns_ = 0;
  TimingStats work_;
  std::atomic<std::uint32_t> underruns_{0}, blocks_{0};
  std::atomic<std::int64_t> offset_ns_{0};
  std::uint32_t seen_blocks_ = 0;
  std::int64_t block_at_ns_ = 0, tried_at_ns_ = 0;
  bool gone_ = false;
};

}  // namespace romanesca
