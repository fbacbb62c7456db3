#include "cli/studio/recording.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "cli/studio/external_decoder.h"
#include "cli/studio/file_io.h"
#include "cli/studio/interrupt.h"
#include "synth/files/audio_reader.h"
#include "synth/hearing/pitch_spectrum.h"
#include "synth/hearing/resampler.h"

namespace romanesca {
namespace {

constexpr auto most_samples = static_cast<std::size_t>(longest_recording_s * hearing_rate_hz);
constexpr const char* other_formats = "convert it to WAV, FLAC, Ogg or MP3";

Failure too_long(const std::string& name) {
  return Failure(ExitStatus::wrong_input,
                 fmt::format("{}: the recording is longer than {:.0f} minutes", name, longest_recording_s / 60),
                 "cut out the piece that is to become a chart");
}

bool usable(double sample_rate_hz) { return sample_rate_hz >= 8000 && sample_rate_hz <= 192000; }

}  // namespace

Result<std::vector<float>> read_recording(const std::filesystem::path& path) {
  const std::string name = path.string();
  std::error_code error;
  if (std::filesystem::is_directory(path, error))
    return Failure(ExitStatus::file_refused, fmt::format("{} is a folder", name), "give the name of a file");
  if (std::filesystem::exists(path, error) && !std::filesystem::is_regular_file(path, error))
    return Failure(ExitStatus::file_refused, fmt::format("{} is no ordinary file", name),
                   "record to a file first, and give its name");
  const InterruptGuard guard;
  std::vector<float> sound;
  std::optional<HearingResampler> resampler;
  double rate_hz = 0;
  std::optional<bool> whole;
  try {
    whole = read_audio_file(
        name,
        [&](const AudioFileFacts& facts) {
          rate_hz = facts.sample_rate_hz;
          if (usable(rate_hz)) resampler.emplace(rate_hz);
        },
        [&](std::span<const float> samples) {
          if (!resampler || InterruptGuard::requested()) return false;
          resampler->push(samples, [&](float sample) { sound.push_back(sample); });
          return sound.size() <= most_samples;
        });
  } catch (const SystemError& refused) {
    const FileReason reason = reason_not_read(refused.number());
    return Failure(ExitStatus::file_refused, fmt::format("cannot read {}: {}", name, reason.why), reason.hint);
  }
  if (InterruptGuard::requested()) return Failure(ExitStatus::interrupted, "stopped");
  if (whole && !usable(rate_hz))
    return Failure(ExitStatus::wrong_input, fmt::format("{}: a sample rate of {:.0f} Hz", name, rate_hz),
                   "convert it to 44100 or 48000 Hz");
  if (!whole) {
    const auto format = external_format(ending_of(path));
    if (!format)
      return Failure(ExitStatus::wrong_input, fmt::format("{} is no recording in a form that is known", name),
                     other_formats);
    const std::filesystem::path program = external_decoder();
    if (program.empty()) {
      return Failure(ExitStatus::file_refused,
                     fmt::format("{}: that format needs ffmpeg, which is not installed", name),
                     fmt::format("install ffmpeg, or {} elsewhere", other_formats));
    }
    Status done = decode_externally(program, path, *format, static_cast<int>(hearing_rate_hz),
                                    [&](std::span<const float> samples) {
                                      for (const float sample : samples)
                                        sound.push_back(std::isfinite(sample) ? sample : 0);
                                      return sound.size() <= most_samples;
                                    });
    if (!done) return done.error();
  }
  if (sound.size() > most_samples) return too_long(name);
  // Floating-point files may be far above full scale.
  for (float& sample : sound) sample = std::clamp(sample, -16.0f, 16.0f);
  return sound;
}

}  // namespace romanesca
