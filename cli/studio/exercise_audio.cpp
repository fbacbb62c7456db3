#include "cli/studio/exercise_audio.h"

#include "cli/studio/audio_export.h"
#include "cli/studio/backing_track.h"
#include "cli/studio/output_file.h"
#include "cli/studio/progression_source.h"

namespace romanesca {
namespace {

Result<MidiSong> sound_of(const Exercise& exercise) {
  if (exercise.family != ExerciseFamily::ear) {
    const auto placed = place({exercise.shown(), exercise.title, {}}, std::nullopt);
    if (!placed) return placed.error();
    auto track = arrange_backing(*placed, {});
    if (!track) return track.error();
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

Result<ExerciseAudio> write_exercise_audio(const Exercise& exercise, const std::string& path, Progress& progress) {
  const auto song = sound_of(exercise);
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
  const auto track = render_to_file(song->performance, {}, settings, format, path, progress);
  if (!track) return track.error();
  audio.track = *track;
  audio.seconds = static_cast<double>(track->frames) / format.sample_rate_hz;
  return audio;
}

}  // namespace romanesca
