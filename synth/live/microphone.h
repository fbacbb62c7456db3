#pragma once

#include <atomic>
#include <memory>
#include <string>
#include <vector>

#include "synth/live/live_devices.h"
#include "synth/live/port_list.h"
#include "synth/live/spsc_queue.h"

class RtAudio;

namespace romanesca {

/// The audio devices with an input.
[[nodiscard]] std::vector<PortInfo> audio_inputs();

/// Takes the first channel of an audio input, on the thread of that device, which neither locks nor allocates. The
/// sound is kept in memory until it is taken, at most 2.7 s of it, and nowhere else.
class Microphone final : public SoundInput {
 public:
  static constexpr double sample_rate_hz = 48000;

  /// Throws SystemError. @param settings whose buffer is not used
  explicit Microphone(const AudioDeviceSettings& settings);
  ~Microphone() override;

  std::size_t take(std::span<float> samples) noexcept override;
  [[nodiscard]] double rate_hz() const noexcept override { return sample_rate_hz; }
  [[nodiscard]] std::int64_t offset_ns() const noexcept override { return offset_ns_.load(std::memory_order_relaxed); }
  [[nodiscard]] std::string name() const override { return name_; }
  [[nodiscard]] std::uint32_t lost() const noexcept override { return lost_.load(std::memory_order_relaxed); }

 private:
  static int on_block(void* out, void* in, unsigned frames, double time, unsigned status, void* self) noexcept;
  void keep(const float* samples, unsigned frames) noexcept;
  void open(const AudioDeviceSettings& settings);

  std::unique_ptr<RtAudio> audio_;
  std::string name_;
  SpscQueue<float, 131072> queue_;
  std::int64_t count_ = 0, latency_ns_ = 0;  ///< of the device's thread
  std::atomic<std::int64_t> offset_ns_{0};
  std::atomic<std::uint32_t> lost_{0};
};

}  // namespace romanesca
