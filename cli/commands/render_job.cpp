#include "cli/commands/render_job.h"

#include <fmt/format.h>

#include <filesystem>

#include "cli/failure.h"
#include "cli/studio/name_for_file.h"
#include "cli/studio/user_styles.h"

namespace romanesca {
namespace {

/// What it is, in which key, how fast.
std::string usual_name(const std::string& title, const std::string& key, double tempo_bpm) {
  const std::string name = name_for_file(title);
  return fmt::format("{}-{}-{:.0f}.wav", name.empty() ? "backing" : name, key, tempo_bpm);
}

RenderJob job_from(const PlacedProgression& placed, const BandRequest& band, std::span<const Style> among) {
  BackingTrack track = arrange_backing(placed, band, among);
  RenderJob job;
  job.song = std::move(track.song);
  job.key_text = to_string(placed.key);
  job.tonic = to_string(placed.key.tonic);
  job.meter = to_string(track.meter);
  job.style = track.style;
  job.tempo_bpm = track.tempo_bpm;
  job.bars = track.bars;
  job.left_to_student = track.left_to_student;
  job.usual_file = usual_name(placed.source.name, job.tonic, track.tempo_bpm);
  return job;
}

}  // namespace

std::vector<RenderJob> jobs_from_chords(const CommonOptions& common, const BandRequest& band, const PracticeSet& set,
                                        Console& console) {
  const NamedProgression source = read_progression(common.progression, console);
  const std::vector<Style> among = user_styles(console);
  const PlacedProgression first = place(source, common.key_given());
  std::vector<RenderJob> jobs;
  for (int turn = 0; turn < (set.all_keys ? 12 : 1); ++turn) {
    const Key key = key_of_round(first.key, turn);
    const PlacedProgression placed = turn == 0 ? first : place(source, KeyText{key.tonic, key.mode});
    BandRequest request = band;
    for (const double tempo : set.tempos.empty() ? std::vector<double>{band.tempo_bpm} : set.tempos) {
      request.tempo_bpm = tempo;
      jobs.push_back(job_from(placed, request, among));
    }
  }
  return jobs;
}

RenderJob job_from_midi(MidiSong song, const BandRequest& band, bool other_key, const std::string& path) {
  if (other_key || !band.only_chooses_parts()) {
    throw Failure(ExitStatus::wrong_input, "a MIDI file is played as it is, with --mute, --only or --stems",
                  "leave out what changes key, tempo or form, or give chords");
  }
  RenderJob job;
  job.song = std::move(song);
  choose_parts(job.song.performance, band);
  job.meter = fmt::format("{}/{}", job.song.meter_upper, job.song.meter_lower);
  job.tempo_bpm = job.song.performance.tempo.tempos().front().quarters_per_minute;
  const Beats bar{4 * static_cast<std::int64_t>(job.song.meter_upper), job.song.meter_lower};
  job.bars = static_cast<int>(whole_times(job.song.performance.length + bar - Beats(1, 1000), bar));
  job.usual_file = std::filesystem::path(path).stem().string() + ".wav";
  return job;
}

std::string with_suffix(const std::string& path, const std::string& suffix) {
  if (suffix.empty()) return path;
  const std::filesystem::path whole(path);
  const std::string name = whole.stem().string() + "-" + suffix + whole.extension().string();
  return (whole.parent_path() / name).string();
}

std::string set_suffix(const RenderJob& job, const PracticeSet& set) {
  std::string suffix = set.all_keys ? job.tonic : "";
  if (set.tempos.size() > 1) suffix += fmt::format("{}{:g}", suffix.empty() ? "" : "-", job.tempo_bpm);
  return suffix;
}

}  // namespace romanesca
