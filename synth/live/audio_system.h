#pragma once

#include <RtAudio.h>

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

/// Ends a stream and its connection, also one whose server has gone.
void close_audio(std::unique_ptr<RtAudio>& audio) noexcept;

#ifdef RTAUDIO_VERSION_MAJOR
/// RtAudio 6 returns errors.
template <typename Call>
bool audio_call_worked(const Call& call) {
  return call() == RTAUDIO_NO_ERROR;
}
#else
/// RtAudio 5 throws errors.
template <typename Call>
bool audio_call_worked(const Call& call) {
  try {
    call();
    return true;
  } catch (const RtAudioError&) {
    return false;
  }
}
#endif

}  // namespace romanesca
