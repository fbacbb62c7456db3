#include "cli/audio_output.h"

#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "cli/failure.h"
#include "cli/file_reason.h"
#include "cli/interrupt.h"
#include "cli/output_file.h"
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

}  // namespace

TrackResult render_to_file(const Performance& performance, const std::string& soundfont, const TrackSettings& settings,
                           const AudioFormat& format, const std::string& path, Console& console) {
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
