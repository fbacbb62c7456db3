#include "synth/live/audio_system.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <exception>
#include <numeric>

#include "synth/live/jack_watch.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

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

/// None if the system does not run.
std::vector<AudioDevice> devices_of(RtAudio& audio, AudioDirection direction) {
  std::vector<AudioDevice> found;
  audio.showWarnings(false);
  for (const unsigned number : device_numbers(audio)) {
    try {
      const RtAudio::DeviceInfo info = audio.getDeviceInfo(number);
      if (direction == AudioDirection::output ? info.outputChannels < 2 : info.inputChannels < 1) continue;
      found.push_back(
          {number, info.name, direction == AudioDirection::output ? info.isDefaultOutput : info.isDefaultInput});
    } catch (const std::exception&) {
      continue;  // busy or disconnected
    }
  }
  return found;
}

}  // namespace

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

std::unique_ptr<RtAudio> audio_connection(RtAudio::Api api) {
  if (api == RtAudio::UNIX_JACK && JackWatch::of_running_server() == nullptr) return nullptr;
  silence_backend_logs();
  try {
    return std::make_unique<RtAudio>(api);
  } catch (const std::exception&) {
    return nullptr;
  }
}

std::vector<AudioDevice> devices_named(RtAudio& audio, AudioDirection direction, const std::string& name,
                                       std::vector<std::string>& all) {
  std::vector<AudioDevice> devices = devices_of(audio, direction);
  for (const AudioDevice& device : devices) all.push_back(device.name);
  std::erase_if(devices, [&](const AudioDevice& device) { return !name_contains(device.name, name); });
  std::stable_sort(devices.begin(), devices.end(),
                   [](const AudioDevice& a, const AudioDevice& b) { return a.usual > b.usual; });
  return devices;
}

std::vector<PortInfo> audio_devices(AudioDirection direction) {
  std::vector<PortInfo> found;
  for (const RtAudio::Api api : audio_systems("")) {
    const auto audio = audio_connection(api);
    if (audio == nullptr) continue;
    for (const AudioDevice& device : devices_of(*audio, direction))
      found.push_back({RtAudio::getApiName(api), device.name, device.usual});
  }
  return found;
}

bool start_stream(RtAudio& audio, const AudioDevice& device, const AudioStreamRequest& request,
                  std::int64_t& latency_ns) {
  RtAudio::StreamParameters parameters;
  parameters.deviceId = device.number;
  parameters.nChannels = request.channels;
  RtAudio::StreamOptions options;
  options.flags = RTAUDIO_NONINTERLEAVED | RTAUDIO_SCHEDULE_REALTIME;
  options.streamName = request.name;
  options.numberOfBuffers = 2;
  options.priority = 10;
  const bool plays = request.direction == AudioDirection::output;
  unsigned frames = request.frames;
  const bool opened = worked([&] {
    return audio.openStream(plays ? &parameters : nullptr, plays ? nullptr : &parameters, RTAUDIO_FLOAT32,
                            static_cast<unsigned>(request.rate_hz), &frames, request.callback, request.user_data,
                            &options);
  });
  if (!opened) return false;
  latency_ns = static_cast<std::int64_t>(static_cast<double>(audio.getStreamLatency()) * 1e9 / request.rate_hz);
  if (worked([&] { return audio.startStream(); })) return true;
  audio.closeStream();
  return false;
}

void close_audio(std::unique_ptr<RtAudio>& audio) noexcept {
  if (audio == nullptr) return;
  try {
    if (audio->isStreamRunning()) audio->abortStream();
    if (audio->isStreamOpen()) audio->closeStream();
  } catch (...) {
    static_cast<void>(audio.release());  // already closed with its server
  }
  audio.reset();
}

}  // namespace romanesca
