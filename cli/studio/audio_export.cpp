#include "cli/studio/audio_export.h"

#include <fmt/format.h>

#include <memory>

#include "cli/studio/backing_track.h"
#include "cli/studio/file_io.h"
#include "cli/studio/interrupt.h"
#include "cli/studio/progression_source.h"
#include "synth/files/soundfont_finder.h"
#include "synth/files/soundfont_player.h"
#include "synth/files/temporary_store.h"
#include "synth/files/true_peak_meter.h"
#include "synth/files/worker_threads.h"
#include "synth/sound/performer.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

/// Also stops after Ctrl-C.
class InterruptibleProgress final : public Progress {
 public:
  explicit InterruptibleProgress(Progress& shown) : shown_(shown) {}
  bool at(double fraction) override { return shown_.at(fraction) && !InterruptGuard::requested(); }

 private:
  Progress& shown_;
};

/// The built-in band, or the user's own sounds. Throws SystemError where the SoundFont cannot be played. @param
/// soundfont empty for the band
std::unique_ptr<SoundSource> make_source(const Performance& performance, const std::string& soundfont,
                                         const TrackSettings& settings, WorkerThreads& workers) {
  if (soundfont.empty()) {
    return std::make_unique<Performer>(performance, Performer::Settings{settings.sample_rate_hz, settings.loop,
                                                                        settings.threads > 1 ? &workers : nullptr});
  }
  return std::make_unique<SoundFontPlayer>(performance, soundfont,
                                           SoundFontPlayer::Settings{settings.sample_rate_hz, settings.loop});
}

/// Limits of what is rendered at once, before the work is done.
Status check_length(const Performance& performance, const AudioFormat& format, const std::string& path) {
  constexpr double longest_s = 6 * 3600;
  constexpr double largest_wav = 4294967295.0 - 65536;  // bytes: its sizes have 32 bits; less what is not sound
  const double seconds = performance.tempo.seconds_at(performance.length);
  if (seconds > longest_s) {
    return Failure(ExitStatus::wrong_input, fmt::format("{} would last {:.1f} hours", path, seconds / 3600),
                   "up to 6 can be rendered; repeat less often, or write .mid");
  }
  const double bytes = seconds * format.sample_rate_hz * 2 * (format.bits / 8.0);
  if (format.ending == "wav" && bytes > largest_wav) {
    return Failure(ExitStatus::wrong_input,
                   fmt::format("{} would have {:.1f} GiB; a WAV file holds up to 4", path, bytes / (1 << 30)),
                   "write .flac, or choose --bits 16 or a lower --rate");
  }
  return ok;
}

/// Adds the models as a part of their own, which the vibraphone-like bell plays above the band.
void add_models(const Exercise& exercise, MidiSong& song) {
  const auto part = static_cast<std::uint8_t>(song.performance.parts.size());
  bool any = false;
  for (const ExerciseTune& tune : exercise.models) {
    if (tune.rhythm_only) continue;
    for (const MelodyNote& note : tune.notes) {
      if (note.start + note.length > song.performance.length) continue;
      song.performance.events.push_back(
          {note.start, note.length, static_cast<std::uint8_t>(note.pitch.midi()), 96, part});
      any = true;
    }
  }
  if (any) song.performance.parts.push_back({"model", InstrumentId::electric_piano, 0, false});
}

Result<MidiSong> sound_of(const Exercise& exercise, bool with_models) {
  if (exercise.family != ExerciseFamily::ear) {
    const auto placed = place({exercise.shown(), exercise.title, {}}, std::nullopt);
    if (!placed) return placed.error();
    auto track = arrange_backing(*placed, {});
    if (!track) return track.error();
    if (with_models) add_models(exercise, track->song);
    return std::move(track->song);
  }
  MidiSong song;
  song.title = exercise.title;
  song.performance.events = exercise.heard;
  song.performance.length = exercise.heard_length;
  song.performance.parts.push_back({"piano", InstrumentId::piano, 0, false});
  song.performance.tempo = TempoMap(exercise.progression.tempo_bpm.value_or(usual_bpm));
  return song;
}

}  // namespace

Result<std::string> soundfont_given(const std::string& asked) {
  if (asked != "auto") return asked;
  const std::vector<std::filesystem::path> folders = soundfont_folders();
  if (auto found = find_soundfont(folders)) return std::move(*found);
  std::string places;
  for (const std::filesystem::path& folder : folders) places += (places.empty() ? "" : ", ") + folder.string();
  return Failure(ExitStatus::file_refused, "--soundfont auto: this computer has no SoundFont; none is in " + places,
                 "install one (Debian and Ubuntu: sudo apt install fluid-soundfont-gm) or name a file");
}

Result<TrackResult> render_to_file(const Performance& performance, const std::string& soundfont,
                                   const TrackSettings& settings, const AudioFormat& format, const std::string& path,
                                   Progress& progress) {
  if (const Status checked = check_length(performance, format, path); !checked) return checked.error();
  const InterruptGuard guard;
  auto output = OutputFile::create(path);
  if (!output) return output.error();
  WorkerThreads workers(settings.threads);
  std::unique_ptr<SoundSource> source;
  try {
    source = make_source(performance, soundfont, settings, workers);
  } catch (const SystemError& error) {
    return Failure(ExitStatus::file_refused, fmt::format("--soundfont: {}", error.what()),
                   "without it the built-in instruments play");
  }
  try {
    EburPeakMeter meter(settings.sample_rate_hz);
    AudioFormat kind = format;
    kind.loop = settings.loop;
    AudioFile file(output->temporary().string(), kind);
    TrackResult result;
    {
      InterruptibleProgress interruptible(progress);
      TemporaryStore store(output->temporary().parent_path().string());
      result = render_track(*source, settings, store, meter, file, interruptible);
    }
    if (result.stopped) return Failure(ExitStatus::interrupted, fmt::format("stopped; {} was not written", path));
    file.close();
    if (const Status committed = output->commit(); !committed) return committed.error();
    return result;
  } catch (const SystemError& error) {
    const FileReason reason = reason_not_written(error.number());
    return Failure(ExitStatus::file_refused,
                   fmt::format("cannot write {}: {}", path, error.number() == 0 ? error.what() : reason.why),
                   reason.hint);
  }
}

Result<ExerciseAudio> write_exercise_audio(const Exercise& exercise, const std::string& path, Progress& progress,
                                           bool with_models, const std::string& soundfont) {
  const auto song = sound_of(exercise, with_models);
  if (!song) return song.error();
  ExerciseAudio audio;
  audio.loops = exercise.family != ExerciseFamily::ear;
  const std::string ending = ending_of(path);
  if (ending == "mid") {
    const std::vector<std::uint8_t> bytes = write_midi(*song);
    if (const Status written = write_file(path, std::string(bytes.begin(), bytes.end())); !written) {
      return written.error();
    }
    return audio;
  }
  AudioFormat format;
  format.ending = ending;
  TrackSettings settings;
  settings.sample_rate_hz = format.sample_rate_hz;
  settings.loop = audio.loops;
  const auto track = render_to_file(song->performance, soundfont, settings, format, path, progress);
  if (!track) return track.error();
  audio.track = *track;
  audio.seconds = static_cast<double>(track->frames) / format.sample_rate_hz;
  return audio;
}

}  // namespace romanesca
