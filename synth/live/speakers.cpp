#include "synth/live/speakers.h"

#include <RtAudio.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

#include "synth/live/audio_system.h"
#include "synth/live/clock_thread.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

constexpr std::int64_t gone_after_ns = 1'500'000'000, try_every_ns = 1'000'000'000;

}  // namespace

std::vector<PortInfo> audio_outputs() { return audio_devices(AudioDirection::output); }

Speakers::Speakers(LiveEngine& engine, AudioDeviceSettings settings)
    : settings_(std::move(settings)), band_(engine, sample_rate_hz) {
  open();
}

Speakers::~Speakers() { close(); }

void Speakers::open() {
  std::vector<std::string> all;
  for (const RtAudio::Api api : audio_systems(settings_.system)) {
    auto audio = audio_connection(api);
    if (audio == nullptr) continue;
    for (const AudioDevice& device : devices_named(*audio, AudioDirection::output, settings_.name, all)) {
      const auto frames = static_cast<unsigned>(std::lround(settings_.buffer_ms * 1e-3 * sample_rate_hz));
      const AudioStreamRequest request{AudioDirection::output, 2,   sample_rate_hz, frames, "romanesca",
                                       &Speakers::on_block,    this};
      if (!start_stream(*audio, device, request, latency_ns_)) continue;  // try the next device
      audio_ = std::move(audio);
      name_ = device.name;
      block_at_ns_ = monotonic_ns();
      return;
    }
  }
  if (all.empty()) {
    throw SystemError("there is no audio output",
                      "connect speakers or headphones, or play on a MIDI instrument with --port; romanesca ports lists "
                      "what is there");
  }
  throw SystemError(settings_.name.empty()
                        ? "no audio output opens at 48000 Hz"
                        : fmt::format("no audio output that matches \"{}\" can be opened", settings_.name),
                    fmt::format("there is {}", fmt::join(all, "; ")));
}

void Speakers::close() noexcept { close_audio(audio_); }

int Speakers::on_block(void* out, void* /*in*/, unsigned frames, double /*time*/, unsigned status,
                       void* self) noexcept {
  static_cast<Speakers*>(self)->render(static_cast<float*>(out), frames, (status & RTAUDIO_OUTPUT_UNDERFLOW) != 0);
  return 0;
}

void Speakers::render(float* out, unsigned frames, bool underrun) noexcept {
  const std::int64_t now = monotonic_ns();
  if (underrun) underruns_.fetch_add(1, std::memory_order_relaxed);
  // The audio clock drifts against the monotonic clock: the difference is smoothed, but follows jumps at once.
  constexpr std::int64_t jump_ns = 50'000'000, slowness = 64;
  const std::int64_t measured = now + latency_ns_ - band_.now_ns();
  const std::int64_t known = offset_ns_.load(std::memory_order_relaxed);
  const bool jumped = std::llabs(measured - known) > jump_ns;
  offset_ns_.store(jumped ? measured : known + (measured - known) / slowness, std::memory_order_relaxed);
  band_.render({out, out + frames, frames});
  work_.add(monotonic_ns() - now);
  blocks_.fetch_add(1, std::memory_order_relaxed);
}

LiveOutput::State Speakers::check() {
  const std::int64_t now = monotonic_ns();
  if (!gone_) {
    const std::uint32_t blocks = blocks_.load(std::memory_order_relaxed);
    if (blocks != seen_blocks_) {
      seen_blocks_ = blocks;
      block_at_ns_ = now;
    }
    if (now - block_at_ns_ < gone_after_ns) return State::open;
    gone_ = true;
    tried_at_ns_ = now;
    close();
    return State::gone;
  }
  if (now - tried_at_ns_ < try_every_ns) return State::gone;
  tried_at_ns_ = now;
  try {
    open();
    gone_ = false;
    return State::back;
  } catch (const SystemError&) {
    return State::gone;
  }
}

bool Speakers::end() {
  close();
  return true;
}

}  // namespace romanesca
