#include "synth/live/microphone.h"

#include <RtAudio.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cstdlib>

#include "synth/live/audio_system.h"
#include "synth/live/clock_thread.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

constexpr unsigned input_frames = 480;  // 10 ms, if the device agrees

}  // namespace

std::vector<PortInfo> audio_inputs() { return audio_devices(AudioDirection::input); }

Microphone::Microphone(const AudioDeviceSettings& settings) { open(settings); }

Microphone::~Microphone() { close_audio(audio_); }

void Microphone::open(const AudioDeviceSettings& settings) {
  std::vector<std::string> all;
  for (const RtAudio::Api api : audio_systems(settings.system)) {
    auto audio = audio_connection(api);
    if (audio == nullptr) continue;
    for (const AudioDevice& device : devices_named(*audio, AudioDirection::input, settings.name, all)) {
      const AudioStreamRequest request{AudioDirection::input, 1,   sample_rate_hz, input_frames, "romanesca listens",
                                       &Microphone::on_block, this};
      if (!start_stream(*audio, device, request, latency_ns_)) continue;  // try the next device
      audio_ = std::move(audio);
      name_ = device.name;
      return;
    }
  }
  if (all.empty()) throw SystemError("there is no microphone", "connect one; romanesca ports lists what is there");
  throw SystemError(settings.name.empty()
                        ? "no microphone opens at 48000 Hz"
                        : fmt::format("no microphone that matches \"{}\" can be opened", settings.name),
                    fmt::format("there is {}", fmt::join(all, "; ")));
}

int Microphone::on_block(void* /*out*/, void* in, unsigned frames, double /*time*/, unsigned /*status*/,
                         void* self) noexcept {
  static_cast<Microphone*>(self)->keep(static_cast<const float*>(in), frames);
  return 0;
}

void Microphone::keep(const float* samples, unsigned frames) noexcept {
  // What has arrived was heard before; the difference of the two clocks is smoothed, but follows jumps at once.
  constexpr std::int64_t jump_ns = 50'000'000, slowness = 64;
  std::uint32_t lost = 0;
  for (unsigned i = 0; i < frames; ++i) {
    if (queue_.put(samples[i])) {
      ++count_;
    } else {
      ++lost;
    }
  }
  if (lost > 0) lost_.fetch_add(lost, std::memory_order_relaxed);
  const auto heard_ns = static_cast<std::int64_t>(static_cast<double>(count_) * 1e9 / sample_rate_hz);
  const std::int64_t measured = monotonic_ns() - latency_ns_ - heard_ns;
  const std::int64_t known = offset_ns_.load(std::memory_order_relaxed);
  const bool jumped = std::llabs(measured - known) > jump_ns;
  offset_ns_.store(jumped ? measured : known + (measured - known) / slowness, std::memory_order_relaxed);
}

std::size_t Microphone::take(std::span<float> samples) noexcept {
  std::size_t count = 0;
  while (count < samples.size() && queue_.take(samples[count])) ++count;
  return count;
}

}  // namespace romanesca
