#include "cli/studio/exercise_audio.h"

#include <fmt/format.h>

#include "cli/studio/audio_output.h"
#include "cli/studio/backing_track.h"
#include "cli/studio/output_file.h"

namespace romanesca {
namespace {

MidiSong song_of(const Exercise& exercise) {
  if (exercise.family != ExerciseFamily::ear) {
    return arrange_backing(place({exercise.shown(), exercise.title, {}}, std::nullopt), {}).song;
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

std::string write_exercise_audio(const Exercise& exercise, const std::string& path, Console& console) {
  const MidiSong song = song_of(exercise);
  const std::string ending = ending_of(path);
  if (ending == "mid") {
    const std::vector<std::uint8_t> bytes = write_midi(song);
    write_file(path, std::string(bytes.begin(), bytes.end()));
    return fmt::format("{}  MIDI\n", path);
  }
  AudioFormat format;
  format.ending = ending;
  TrackSettings settings;
  settings.sample_rate_hz = format.sample_rate_hz;
  settings.loop = exercise.family != ExerciseFamily::ear;
  const TrackResult result = render_to_file(song.performance, {}, settings, format, path, console);
  return fmt::format("{}  {:.1f} s, {}\nStart with the volume low, above all with headphones.\n", path,
                     static_cast<double>(result.frames) / format.sample_rate_hz,
                     settings.loop ? "loops without a seam" : "once through");
}

}  // namespace romanesca
