#include "cli/studio/audio_output.h"

#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "cli/failure.h"
#include "cli/studio/file_reason.h"
#include "cli/studio/interrupt.h"
#include "cli/studio/output_file.h"
#include "synth/files/file_error.h"
#include "synth/files/soundfont_player.h"
#include "synth/files/temporary_store.h"
#include "synth/files/true_peak_meter.h"
#include "synth/files/worker_threads.h"
#include "synth/sound/performer.h"

namespace romanesca {
namespace {

/// Shows per cents on a terminal and passes on the wish to stop.
class TerminalProgress final : public Progress {
 public:
  explicit TerminalProgress(Console& console) : console_(console) {}
  ~TerminalProgress() override {
    if (shown_ >= 0) console_.err << "\r                    \r" << std::flush;
  }
  TerminalProgress(const TerminalProgress&) = delete;
  TerminalProgress& operator=(const TerminalProgress&) = delete;

  bool at(double fraction) override {
    const int percent = static_cast<int>(fraction * 100);
    if (console_.err_is_terminal && percent != shown_) {
      shown_ = percent;
      console_.err << fmt::format("\rrendering {:3} %", percent) << std::flush;
    }
    return !InterruptGuard::requested();
  }

 private:
  Console& console_;
  int shown_ = -1;
};

/// The built-in band, or the user's own sounds. @param soundfont empty for the band
std::unique_ptr<SoundSource> make_source(const Performance& performance, const std::string& soundfont,
                                         const TrackSettings& settings, WorkerThreads& workers) {
  if (soundfont.empty()) {
    return std::make_unique<Performer>(performance, Performer::Settings{settings.sample_rate_hz, settings.loop,
                                                                        settings.threads > 1 ? &workers : nullptr});
  }
  try {
    return std::make_unique<SoundFontPlayer>(performance, soundfont,
                                             SoundFontPlayer::Settings{settings.sample_rate_hz, settings.loop});
  } catch (const FileError& error) {
    throw Failure(ExitStatus::file_refused, fmt::format("--soundfont: {}", error.what()),
                  "without it the built-in instruments play");
  }
}

/// Limits of what is rendered at once, before the work is done.
void check_length(const Performance& performance, const AudioFormat& format, const std::string& path) {
  constexpr double longest_s = 6 * 3600;
  constexpr double largest_wav = 4294967295.0 - 65536;  // bytes: its sizes have 32 bits; less what is not sound
  const double seconds = performance.tempo.seconds_at(performance.length);
  if (seconds > longest_s) {
    throw Failure(ExitStatus::wrong_input, fmt::format("{} would last {:.1f} hours", path, seconds / 3600),
                  "I render up to 6; repeat less often, or write .mid");
  }
  const double bytes = seconds * format.sample_rate_hz * 2 * (format.bits / 8.0);
  if (format.ending == "wav" && bytes > largest_wav) {
    throw Failure(ExitStatus::wrong_input,
                  fmt::format("{} would have {:.1f} GiB; a WAV file holds up to 4", path, bytes / (1 << 30)),
                  "write .flac, or choose --bits 16 or a lower --rate");
  }
}

}  // namespace

TrackResult render_to_file(const Performance& performance, const std::string& soundfont, const TrackSettings& settings,
                           const AudioFormat& format, const std::string& path, Console& console) {
  check_length(performance, format, path);
  const InterruptGuard guard;
  OutputFile output(path);
  WorkerThreads workers(settings.threads);
  const std::unique_ptr<SoundSource> source = make_source(performance, soundfont, settings, workers);
  try {
    EburPeakMeter meter(settings.sample_rate_hz);
    AudioFormat kind = format;
    kind.loop = settings.loop;
    AudioFile file(output.temporary().string(), kind);
    TrackResult result;
    {
      TerminalProgress progress(console);
      TemporaryStore store(output.temporary().parent_path().string());
      result = render_track(*source, settings, store, meter, file, progress);
    }
    if (result.stopped) throw Failure(ExitStatus::interrupted, fmt::format("stopped; {} was not written", path));
    file.close();
    output.commit();
    return result;
  } catch (const FileError& error) {
    const FileReason reason = reason_not_written(error.number());
    throw Failure(ExitStatus::file_refused,
                  fmt::format("cannot write {}: {}", path, error.number() == 0 ? error.what() : reason.why),
                  reason.way_out);
  }
}

}  // namespace romanesca
