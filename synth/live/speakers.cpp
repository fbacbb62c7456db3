#include "synth/live/speakers.h"

#include <RtAudio.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <exception>
#include <numeric>

#include "synth/live/clock_thread.h"
#include "synth/live/jack_watch.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

constexpr std::int64_t gone_after_ns = 1'500'000'000, try_every_ns = 1'000'000'000;

std::vector<RtAudio::Api> audio_systems(const std::string& requested) {
  std::vector<RtAudio::Api> all;
  RtAudio::getCompiledApi(all);
  std::erase(all, RtAudio::RTAUDIO_DUMMY);
  if (requested.empty()) return all;
  const RtAudio::Api one = RtAudio::getCompiledApiByName(requested);
  if (std::find(all.begin(), all.end(), one) == all.end()) {
    std::vector<std::string> names;
    for (const RtAudio::Api api : all) names.push_back(RtAudio::getApiName(api));
    throw SystemError(fmt::format("--api: unknown audio system \"{}\"", requested),
                      fmt::format("choose {}", fmt::join(names, " or ")));
  }
  return {one};
}

struct Device {
  unsigned number;
  std::string name;
  bool usual;
};

#ifdef RTAUDIO_VERSION_MAJOR
// RtAudio 6 identifies devices by ids and returns errors.
template <typename Call>
bool worked(const Call& call) {
  return call() == RTAUDIO_NO_ERROR;
}

std::vector<unsigned> device_numbers(RtAudio& audio) { return audio.getDeviceIds(); }
#else
// RtAudio 5 numbers its devices and throws errors.
template <typename Call>
bool worked(const Call& call) {
  try {
    call();
    return true;
  } catch (const RtAudioError&) {
    return false;
  }
}

std::vector<unsigned> device_numbers(RtAudio& audio) {
  std::vector<unsigned> numbers(audio.getDeviceCount());
  std::iota(numbers.begin(), numbers.end(), 0U);
  return numbers;
}
#endif

/// The stereo outputs of one audio system; none if it does not run.
std::vector<Device> devices_of(RtAudio& audio) {
  std::vector<Device> found;
  audio.showWarnings(false);
  for (const unsigned number : device_numbers(audio)) {
    try {
      const RtAudio::DeviceInfo info = audio.getDeviceInfo(number);
      if (info.outputChannels >= 2) found.push_back({number, info.name, info.isDefaultOutput});
    } catch (const std::exception&) {
      continue;  // busy or disconnected
    }
  }
  return found;
}

std::unique_ptr<RtAudio> connection(RtAudio::Api api) {
  if (api == RtAudio::UNIX_JACK && JackWatch::of_running_server() == nullptr) return nullptr;
  silence_backend_logs();
  try {
    return std::make_unique<RtAudio>(api);
  } catch (const std::exception&) {
    return nullptr;
  }
}

}  // namespace

std::vector<PortInfo> audio_outputs() {
  std::vector<PortInfo> found;
  for (const RtAudio::Api api : audio_systems("")) {
    const auto audio = connection(api);
    if (audio == nullptr) continue;
    for (const Device& device : devices_of(*audio)) {
      found.push_back({RtAudio::getApiName(api), device.name, device.usual});
    }
  }
  return found;
}

Speakers::Speakers(LiveEngine& engine, AudioDeviceSettings settings)
    : settings_(std::move(settings)), band_(engine, sample_rate_hz) {
  open();
}

Speakers::~Speakers() { close(); }

void Speakers::open() {
  std::vector<std::string> all;
  for (const RtAudio::Api api : audio_systems(settings_.system)) {
    auto audio = connection(api);
    if (audio == nullptr) continue;
    std::vector<Device> devices = devices_of(*audio);
    for (const Device& device : devices) all.push_back(device.name);
    std::erase_if(devices, [&](const Device& d) { return !name_contains(d.name, settings_.name); });
    std::stable_sort(devices.begin(), devices.end(),
                     [](const Device& a, const Device& b) { return a.usual > b.usual; });
    for (const Device& device : devices) {
      RtAudio::StreamParameters output;
      output.deviceId = device.number;
      output.nChannels = 2;
      RtAudio::StreamOptions options;
      options.flags = RTAUDIO_NONINTERLEAVED | RTAUDIO_SCHEDULE_REALTIME;
      options.streamName = "romanesca";
      options.numberOfBuffers = 2;
      options.priority = 10;
      auto frames = static_cast<unsigned>(std::lround(settings_.buffer_ms * 1e-3 * sample_rate_hz));
      const bool opened = worked([&] {
        return audio->openStream(&output, nullptr, RTAUDIO_FLOAT32, static_cast<unsigned>(sample_rate_hz), &frames,
                                 &Speakers::on_block, this, &options);
      });
      if (!opened) continue;  // try the next device
      latency_ns_ = static_cast<std::int64_t>(static_cast<double>(audio->getStreamLatency()) * 1e9 / sample_rate_hz);
      if (!worked([&] { return audio->startStream(); })) {
        audio->closeStream();
        continue;
      }
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

void Speakers::close() noexcept {
  if (audio_ == nullptr) return;
  try {
    if (audio_->isStreamRunning()) audio_->abortStream();
    if (audio_->isStreamOpen()) audio_->closeStream();
  } catch (...) {
    static_cast<void>(audio_.release());  // already closed with its server
  }
  audio_.reset();
}

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
