#pragma once

#include <RtAudio.h>

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "synth/live/port_list.h"

// What speakers and microphone need of RtAudio. Only files that include RtAudio include this.

namespace romanesca {

enum class AudioDirection { output, input };  ///< a stereo output; an input of at least one channel

struct AudioDevice {
  unsigned number = 0;  ///< RtAudio's
  std::string name;
  bool usual = false;  ///< what the system takes where nothing is said
};

/// The audio systems to try, in order. Throws SystemError for one that RtAudio was not built with.
/// @param requested "alsa", "jack" and so on; empty for all
[[nodiscard]] std::vector<RtAudio::Api> audio_systems(const std::string& requested);

/// @return nothing if that system does not run
[[nodiscard]] std::unique_ptr<RtAudio> audio_connection(RtAudio::Api api);

/// The devices whose name contains @p name, the usual one first. @param all gets the names of all
[[nodiscard]] std::vector<AudioDevice> devices_named(RtAudio& audio, AudioDirection direction, const std::string& name,
                                                     std::vector<std::string>& all);

/// The devices of all systems that run.
[[nodiscard]] std::vector<PortInfo> audio_devices(AudioDirection direction);

/// What a stream of 32-bit floats is opened with: blocks with one channel after the other.
struct AudioStreamRequest {
  AudioDirection direction = AudioDirection::output;
  unsigned channels = 2;
  double rate_hz = 48000;
  unsigned frames = 480;  ///< of a block, if the device agrees
  const char* name = "";  ///< for other programs to see
  RtAudioCallback callback = nullptr;
  void* user_data = nullptr;
};

/// Opens a stream on a device and starts it. @param latency_ns gets the stream's, before the first call of the callback
/// @return false if the device refuses; then nothing is left open
[[nodiscard]] bool start_stream(RtAudio& audio, const AudioDevice& device, const AudioStreamRequest& request,
                                std::int64_t& latency_ns);

/// Ends a stream and its connection, also one whose server has gone.
void close_audio(std::unique_ptr<RtAudio>& audio) noexcept;

}  // namespace romanesca
