#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <memory>

#include "cli/analysis_json.h"
#include "cli/answer.h"
#include "cli/audio_output.h"
#include "cli/backing_track.h"
#include "cli/command_table.h"
#include "cli/failure.h"
#include "cli/midi_argument.h"
#include "cli/output_file.h"
#include "theory/header_text.h"

namespace romanesca {
namespace {

struct RenderOptions {
  CommonOptions common;
  BandRequest band;
  std::string tempo;
  int bits = 24;
  int rate_hz = 48000;
  bool ring_out = false;
};

const std::vector<std::string> audio_endings{"wav", "flac"};
const std::vector<std::string> all_endings{"wav", "flac", "mid"};

/// A name for the file when none was given: what it is, in which key, how fast.
std::string usual_name(const std::string& title, const std::string& key, double tempo_bpm) {
  std::string name;
  for (const char c : title) {
    const bool plain = (std::isalnum(static_cast<unsigned char>(c)) != 0) || static_cast<unsigned char>(c) >= 0x80;
    if (plain) {
      name += c;
    } else if (!name.empty() && name.back() != '-') {
      name += '-';
    }
  }
  while (name.ends_with('-')) name.pop_back();
  return fmt::format("{}-{}-{:.0f}.wav", name.empty() ? "backing" : name, key, tempo_bpm);
}

/// What is to be rendered, whether it came as chords or as a MIDI file.
struct Job {
  MidiSong song;
  std::string key_text;  ///< empty if not known
  std::string meter;
  std::string style;
  double tempo_bpm = 0;
  int bars = 0;
  std::string usual_file;
};

Job job_from_midi(MidiSong song, const RenderOptions& options, const std::string& path) {
  if (!options.common.key.empty() || !options.band.style.empty() || !options.tempo.empty() ||
      options.band.count_in_bars != 0 || options.band.times != 1) {
    throw Failure(ExitStatus::wrong_input, "a MIDI file is played as it is",
                  "leave out --key, --style, --tempo, --count-in and --times, or give chords");
  }
  Job job;
  job.song = std::move(song);
  choose_parts(job.song.performance, options.band);
  job.meter = fmt::format("{}/{}", job.song.meter_upper, job.song.meter_lower);
  job.tempo_bpm = job.song.performance.tempo.tempos().front().quarters_per_minute;
  const Beats bar{4 * static_cast<std::int64_t>(job.song.meter_upper), job.song.meter_lower};
  job.bars = static_cast<int>(whole_times(job.song.performance.length + bar - Beats(1, 1000), bar));
  job.usual_file = std::filesystem::path(path).stem().string() + ".wav";
  return job;
}

Job job_from_chords(const RenderOptions& options, Console& console) {
  BandRequest band = options.band;
  if (!options.tempo.empty()) {
    const TempoText tempo = parse_tempo(options.tempo);
    if (tempo.fault) throw Failure(ExitStatus::wrong_input, "--tempo: " + tempo.fault->message, tempo.fault->hint);
    band.tempo_bpm = tempo.bpm;
  }
  const PlacedProgression placed =
      place(read_progression(options.common.progression, console), options.common.key_given());
  BackingTrack track = arrange_backing(placed, band);
  Job job;
  job.song = std::move(track.song);
  job.key_text = to_string(placed.key);
  job.meter = to_string(track.meter);
  job.style = track.style;
  job.tempo_bpm = track.tempo_bpm;
  job.bars = track.bars;
  job.usual_file = usual_name(placed.source.name, to_string(placed.key.tonic), track.tempo_bpm);
  return job;
}

std::string seconds_text(double seconds) {
  if (seconds < 60) return fmt::format("{:.1f} s", seconds);
  return fmt::format("{}:{:02} min", static_cast<int>(seconds) / 60, static_cast<int>(seconds) % 60);
}

void write_midi_file(const MidiSong& song, const std::string& path) {
  const std::vector<std::uint8_t> bytes = write_midi(song);
  write_file(path, std::string(bytes.begin(), bytes.end()));
}

void run_render(const RenderOptions& options, Console& console) {
  for (const std::string& path : options.common.out) check_ending(path, all_endings);
  if (options.bits != 16 && options.bits != 24) throw Failure(ExitStatus::wrong_input, "--bits: it is 16 or 24");
  if (options.rate_hz != 44100 && options.rate_hz != 48000 && options.rate_hz != 96000) {
    throw Failure(ExitStatus::wrong_input, "--rate: it is 44100, 48000 or 96000");
  }
  auto midi = read_midi_argument(options.common.progression);
  const Job job =
      midi ? job_from_midi(std::move(*midi), options, options.common.progression) : job_from_chords(options, console);
  const std::vector<std::string> paths =
      options.common.out.empty() ? std::vector<std::string>{job.usual_file} : options.common.out;

  TrackSettings settings;
  settings.sample_rate_hz = options.rate_hz;
  settings.loop = !midi && !options.ring_out && options.band.count_in_bars == 0;
  OrderedJson files = OrderedJson::array();
  OrderedJson answer{{"schema", 1}};
  std::string text;
  std::optional<TrackResult> sounded;
  for (const std::string& path : paths) {
    const bool audio = std::find(audio_endings.begin(), audio_endings.end(), ending_of(path)) != audio_endings.end();
    files.push_back({{"path", path}, {"part", audio ? "mix" : "all"}});
    if (!audio) {
      write_midi_file(job.song, path);
      text += fmt::format("{}  MIDI, a track for each part, chords as markers\n", path);
      continue;
    }
    const AudioFormat format{static_cast<double>(options.rate_hz), options.bits, ending_of(path)};
    sounded = render_to_file(job.song.performance, settings, format, path, console);
    text += fmt::format("{}  {}, {}, {:.1f} LUFS, true peak {:.1f} dBTP\n", path,
                        seconds_text(static_cast<double>(sounded->frames) / options.rate_hz),
                        settings.loop ? "loops without a seam" : "rings out at the end", sounded->loudness_lufs,
                        sounded->true_peak_dbtp);
  }
  answer["files"] = std::move(files);
  answer["key"] = job.key_text.empty() ? OrderedJson(nullptr) : OrderedJson(job.key_text);
  answer["tempo"] = job.tempo_bpm;
  answer["meter"] = job.meter;
  answer["style"] = job.style.empty() ? OrderedJson(nullptr) : OrderedJson(job.style);
  answer["bars"] = job.bars;
  answer["count_in_bars"] = options.band.count_in_bars;
  if (sounded) {
    const auto rounded = [](double value) { return std::round(value * 100) / 100; };
    answer["sample_rate"] = options.rate_hz;
    answer["frames"] = sounded->frames;
    answer["loudness_lufs"] =
        std::isfinite(sounded->loudness_lufs) ? OrderedJson(rounded(sounded->loudness_lufs)) : nullptr;
    answer["true_peak_dbtp"] =
        std::isfinite(sounded->true_peak_dbtp) ? OrderedJson(rounded(sounded->true_peak_dbtp)) : nullptr;
  }
  if (options.common.json) {
    give_answer(answer.dump() + "\n", std::nullopt, console);
    return;
  }
  text += fmt::format("{}{} bars of {}{}, {} at {:g} beats a minute\n", job.key_text.empty() ? "" : job.key_text + ", ",
                      job.bars, job.meter, job.style.empty() ? "" : ", " + job.style,
                      options.band.count_in_bars > 0 ? "with count-in," : "played", job.tempo_bpm);
  if (sounded) text += "Start with the volume low, above all with headphones.\n";
  give_answer(text, std::nullopt, console);
}

}  // namespace

std::function<void()> set_up_render(CLI::App& app, Console& console) {
  auto options = std::make_shared<RenderOptions>();
  options->common.add_progression(app);
  options->common.add_key(app);
  app.add_option("--style", options->band.style, "accompaniment style (romanesca styles)")->type_name("STYLE");
  app.add_option("--tempo", options->tempo, "beats a minute, 20 to 400; dotted quarters in 6/8, 9/8, 12/8")
      ->type_name("BPM");
  app.add_option("--times", options->band.times, "how often through, 1 to 200")->type_name("N");
  app.add_option("--count-in", options->band.count_in_bars, "bars of clicks first, 0 to 8; then the end rings out")
      ->type_name("BARS");
  app.add_flag("--ring-out", options->ring_out, "let the end ring instead of making an exact loop");
  app.add_option("--mute", options->band.mute, "leave this part out: drums, bass, keys, guitar, pad")
      ->type_name("PART");
  app.add_option("--only", options->band.only, "play this part alone")->type_name("PART");
  app.add_option("--bits", options->bits, "24, or 16 with dither")->type_name("BITS");
  app.add_option("--rate", options->rate_hz, "sample rate: 44100, 48000 or 96000")->type_name("HZ");
  options->common.add_out(app, ".wav, .flac or .mid; may be given several times");
  options->common.add_json(app);
  return [options, &console] { run_render(*options, console); };
}

}  // namespace romanesca
