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
// RtAudio 6 identifies devices by ids, RtAudio 5 numbers them.
std::vector<unsigned> device_numbers(RtAudio& audio) { return audio.getDeviceIds(); }
#else
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
