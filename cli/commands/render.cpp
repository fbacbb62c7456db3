#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>
#include <thread>
#include <vector>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/chords_json.h"
#include "cli/options.h"
#include "cli/studio/file_io.h"
#include "cli/studio/own_settings.h"
#include "cli/studio/practice_set.h"
#include "cli/studio/progression_source.h"
#include "theory/songs/header_text.h"

namespace romanesca {
namespace {

struct RenderOptions {
  CommonOptions common;
  BandOptions band;
  std::string tempo, tempos, stems, soundfont, artist = "romanesca";
  double loudness_lufs = -16;
  int bits = 24;
  int rate_hz = 48000;
  bool ring_out = false, all_keys = false;
};

bool is_audio(const std::string& path) {
  const auto endings = audio_endings();
  return std::find(endings.begin(), endings.end(), ending_of(path)) != endings.end();
}

double read_tempo(const std::string& option, std::string_view text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  while (text.ends_with(' ')) text.remove_suffix(1);
  const auto tempo = parse_tempo(text);
  if (!tempo) throw Failure(ExitStatus::wrong_input, option + ": " + tempo.error().message, tempo.error().hint);
  return *tempo;
}

/// "60,80,100"
std::vector<double> read_tempos(const std::string& text) {
  std::vector<double> tempos;
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t comma = std::min(text.find(',', from), text.size());
    tempos.push_back(read_tempo("--tempos", std::string_view(text).substr(from, comma - from)));
    from = comma + 1;
  }
  constexpr std::size_t most_tempos = 20;
  if (tempos.size() <= most_tempos) return tempos;
  throw Failure(ExitStatus::wrong_input, fmt::format("--tempos: {} are too many", tempos.size()),
                fmt::format("choose up to {}", most_tempos));
}

void check(const RenderOptions& options) {
  std::vector<std::string> endings(audio_endings().begin(), audio_endings().end());
  endings.emplace_back("mid");
  for (const std::string& path : options.common.out) check_ending(path, endings);
  if (options.bits != 16 && options.bits != 24)
    throw Failure(ExitStatus::wrong_input, fmt::format("--bits: {} is out of range", options.bits), "choose 16 or 24");
  if (options.rate_hz != 44100 && options.rate_hz != 48000 && options.rate_hz != 96000) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--rate: {} is out of range", options.rate_hz),
                  "choose 44100, 48000 or 96000");
  }
  for (const std::string& path : options.common.out) {
    const std::string ending = ending_of(path);
    if ((ending == "opus" && options.rate_hz != 48000) || (ending == "mp3" && options.rate_hz > 48000)) {
      throw Failure(ExitStatus::wrong_input,
                    fmt::format("--rate: a .{} file has no {} samples a second", ending, options.rate_hz),
                    ending == "opus" ? "it has 48000; leave --rate out" : "choose 44100 or 48000");
    }
  }
  if (!(options.loudness_lufs >= -40 && options.loudness_lufs <= -8)) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--loudness: {} LUFS is out of range", options.loudness_lufs),
                  "choose -40 to -8; -16 is usual");
  }
  if (!options.tempo.empty() && !options.tempos.empty()) {
    throw Failure(ExitStatus::wrong_input, "--tempo and --tempos say different things", "give one of them");
  }
}

std::string seconds_text(double seconds) {
  if (seconds < 60) return fmt::format("{:.1f} s", seconds);
  return fmt::format("{}:{:02} min", static_cast<int>(seconds) / 60, static_cast<int>(seconds) % 60);
}

/// What happens where the file ends. The frames of MP3 are longer than the music.
std::string_view end_text(bool loop, std::string_view ending) {
  if (!loop) return "rings out at the end";
  return ending == "mp3" ? "a loop with the short gap that MP3 has" : "loops without a seam";
}

OrderedJson rounded(double value) {
  return std::isfinite(value) ? OrderedJson(std::round(value * 100) / 100) : OrderedJson(nullptr);
}

std::string key_text(const BackingTrack& track) { return track.key ? to_string(*track.key) : ""; }

/// The path with something put before its ending: "loop.wav" and "Eb" make "loop-Eb.wav".
std::string with_suffix(const std::string& path, const std::string& suffix) {
  if (suffix.empty()) return path;
  const std::filesystem::path whole(path);
  const std::string name = whole.stem().string() + "-" + suffix + whole.extension().string();
  return (whole.parent_path() / name).string();
}

/// The parts that sound: not left out, and with a note to play, which some have in full sections alone.
std::vector<std::size_t> heard_parts(const Performance& performance) {
  std::vector<bool> has_notes(performance.parts.size());
  for (const NoteEvent& event : performance.events) has_notes[event.part] = true;
  std::vector<std::size_t> heard;
  for (std::size_t i = 0; i < performance.parts.size(); ++i) {
    if (has_notes[i] && !performance.parts[i].muted) heard.push_back(i);
  }
  return heard;
}

/// Renders tracks and collects the output about them.
class RenderRun {
 public:
  RenderRun(const RenderOptions& options, const BandRequest& band, const PracticeSet& set, bool from_chords,
            Console& console)
      : options_(options), set_(set), console_(console) {
    settings_.sample_rate_hz = options.rate_hz;
    settings_.loudness_lufs = options.loudness_lufs;
    settings_.threads = static_cast<int>(std::clamp(std::thread::hardware_concurrency(), 1U, 4U));
    settings_.loop = from_chords && !options.ring_out && band.count_in_bars == 0 && band.intro_bars == 0 &&
                     band.ending == Ending::none;
  }

  void render(const BackingTrack& track) {
    std::vector<std::string> paths = options_.common.out;
    if (paths.empty()) paths.push_back((std::filesystem::path(options_.stems) / track.usual_file).string());
    const std::string suffix = options_.common.out.empty() ? "" : set_.suffix_of(track);
    std::optional<TrackResult> mix;
    for (const std::string& path : paths) {
      const std::string named = with_suffix(path, suffix);
      if (is_audio(path)) {
        mix = sound(track, track.song.performance, named, "mix", settings_);
      } else {
        const std::vector<std::uint8_t> bytes = write_midi(track.song);
        or_throw(write_file(named, std::string(bytes.begin(), bytes.end())));
        note_file(track, named, "all");
        text_ += fmt::format("{}  MIDI, a track for each part, chords as markers\n", named);
      }
    }
    if (!options_.stems.empty() && mix) render_stems(track, paths.front(), *mix);
  }

  [[nodiscard]] OrderedJson& files() { return files_; }
  [[nodiscard]] const std::string& text() const { return text_; }
  [[nodiscard]] const std::optional<TrackResult>& sounded() const { return sounded_; }

 private:
  TrackResult sound(const BackingTrack& track, const Performance& performance, const std::string& path,
                    const std::string& part, const TrackSettings& settings) {
    AudioFormat format;
    format.sample_rate_hz = options_.rate_hz;
    format.bits = options_.bits;
    format.ending = ending_of(path);
    format.loop = settings.loop;
    format.tags.title = track.song.title;
    format.tags.artist = options_.artist;
    format.tags.comment = part == "mix" ? track.style : part;
    format.tags.tempo_bpm = track.tempo_bpm;
    if (track.key) format.tags.key = to_string(track.key->tonic);
    const TrackResult result = render_shown(performance, options_.soundfont, settings, format, path, console_);
    if (part == "mix") sounded_ = result;
    note_file(track, path, part);
    text_ += fmt::format("{}  {}, {}, {:.1f} LUFS, true peak {:.1f} dBTP\n", path,
                         seconds_text(static_cast<double>(result.frames) / options_.rate_hz),
                         end_text(settings.loop, ending_of(path)), result.loudness_lufs, result.true_peak_dbtp);
    return result;
  }

  void note_file(const BackingTrack& track, const std::string& path, const std::string& part) {
    OrderedJson file{{"path", path}, {"part", part}};
    if (!set_.is_one()) {
      file["key"] = key_text(track);
      file["tempo"] = track.tempo_bpm;
    }
    files_.push_back(std::move(file));
  }

  /// One file for each part that plays, at the level that it has in the mix.
  void render_stems(const BackingTrack& track, const std::string& mix_path, const TrackResult& mix) {
    or_throw(make_folder(options_.stems));
    TrackSettings settings = settings_;
    settings.fixed_gain_db = mix.gain_db;
    const std::string name = std::filesystem::path(with_suffix(mix_path, set_.suffix_of(track))).filename().string();
    for (const std::size_t i : heard_parts(track.song.performance)) {
      Performance alone = track.song.performance;
      for (std::size_t k = 0; k < alone.parts.size(); ++k) alone.parts[k].muted = k != i;
      const std::string path = (std::filesystem::path(options_.stems) / name).string();
      (void)sound(track, alone, with_suffix(path, alone.parts[i].name), alone.parts[i].name, settings);
    }
  }

  const RenderOptions& options_;
  const PracticeSet& set_;
  Console& console_;
  TrackSettings settings_;
  OrderedJson files_ = OrderedJson::array();
  std::string text_;
  std::optional<TrackResult> sounded_;
};

OrderedJson answer_json(const BackingTrack& track, const RenderOptions& options, RenderRun& run) {
  OrderedJson answer{{"schema", 1}};
  answer["files"] = std::move(run.files());
  answer["key"] = track.key ? OrderedJson(key_text(track)) : OrderedJson(nullptr);
  answer["tempo"] = track.tempo_bpm;
  answer["meter"] = track.meter;
  answer["style"] = track.style.empty() ? OrderedJson(nullptr) : OrderedJson(track.style);
  OrderedJson parts = OrderedJson::array();
  for (const std::size_t i : heard_parts(track.song.performance)) parts.push_back(track.song.performance.parts[i].name);
  answer["parts"] = std::move(parts);
  answer["bars"] = track.bars;
  answer["count_in_bars"] = options.band.request.count_in_bars;
  if (run.sounded()) {
    if (!options.soundfont.empty()) answer["soundfont"] = options.soundfont;
    answer["sample_rate"] = options.rate_hz;
    answer["frames"] = run.sounded()->frames;
    answer["loudness_lufs"] = rounded(run.sounded()->loudness_lufs);
    answer["true_peak_dbtp"] = rounded(run.sounded()->true_peak_dbtp);
  }
  return answer;
}

std::string answer_text(const BackingTrack& track, const RenderOptions& options, const PracticeSet& set,
                        const RenderRun& run) {
  std::string text = run.text();
  const std::string what = set.is_one() && track.key ? key_text(track) + ", " : "";
  text +=
      fmt::format("{}{} bars of {}{}", what, track.bars, track.meter, track.style.empty() ? "" : ", " + track.style);
  if (track.count_in_bars > 0) text += ", with count-in";
  if (set.tempos.size() <= 1) text += fmt::format(", {:g} beats a minute", track.tempo_bpm);
  text += "\n";
  for (const std::string& part : track.left_to_student) {
    text += part == "tune" ? "The tune is left to the student; --with tune or --tune INSTRUMENT puts it in.\n"
                           : "The keys are left to the student; --with keys puts them in.\n";
  }
  if (run.sounded() && !options.soundfont.empty()) text += "Played through " + options.soundfont + ".\n";
  if (run.sounded()) text += "Start with the volume low, above all with headphones.\n";
  return text;
}

void run_render(const RenderOptions& options, Console& console) {
  check(options);
  PracticeSet set;
  set.all_keys = options.all_keys;
  if (!options.tempo.empty()) set.tempos = {read_tempo("--tempo", options.tempo)};
  if (!options.tempos.empty()) set.tempos = read_tempos(options.tempos);
  auto midi = value_or_throw(read_midi_argument(options.common.progression));
  const bool from_chords = !midi;
  std::vector<BackingTrack> tracks;
  if (midi) {
    const bool other_key = !options.common.key.empty() || !set.is_one() || !set.tempos.empty();
    if (other_key || !options.band.only_chooses_parts()) {
      throw Failure(ExitStatus::wrong_input, "a MIDI file is played as it is, with --mute, --only or --stems",
                    "leave out what changes key, tempo or form, or give chords");
    }
    tracks.push_back(
        value_or_throw(backing_of_midi(std::move(*midi), options.band.request, options.common.progression)));
  } else {
    const NamedProgression source = options.common.source(console);
    const std::vector<Style> among = value_or_throw(own_styles(console.configuration));
    const auto key = options.common.key_given(console);
    tracks = value_or_throw(arrange_set(source, key, options.band.checked(), set, among));
  }
  RenderRun run(options, options.band.checked(), set, from_chords, console);
  for (const BackingTrack& track : tracks) run.render(track);
  write_output(options.common.json ? answer_json(tracks.front(), options, run).dump() + "\n"
                                   : answer_text(tracks.front(), options, set, run),
               std::nullopt, console);
}

}  // namespace

std::function<void()> set_up_render(OptionParser& parser, Console& console) {
  auto options = std::make_shared<RenderOptions>();
  options->common.plays = true;
  options->common.add_progression(parser);
  options->common.add_key(parser);
  options->common.add_from(parser);
  parser.add_flag("--all-keys", options->all_keys, "twelve files, round the circle of fifths from the song's key");
  parser.add_option("--tempo", options->tempo, "beats a minute, 20 to 400; dotted quarters in 6/8, 9/8, 12/8")
      .value_name("BPM");
  parser.add_option("--tempos", options->tempos, "a practice set, like 60,80,100: a file for each").value_name("LIST");
  options->band.add(parser);
  parser.add_flag("--ring-out", options->ring_out, "let the end ring instead of making an exact loop");
  parser.add_option("--stems", options->stems, "also a file for each part, in this folder").value_name("FOLDER");
  parser.add_option("--loudness", options->loudness_lufs, "integrated loudness, -40 to -8; -16 if not given")
      .value_name("LUFS");
  parser.add_option("--soundfont", options->soundfont, "play it through a SoundFont file; auto finds one")
      .value_name("FILE");
  parser.add_option("--artist", options->artist, "who the files' tags name").value_name("NAME");
  parser.add_option("--bits", options->bits, "24, or 16 with dither, for .wav and .flac").value_name("BITS");
  parser.add_option("--rate", options->rate_hz, "sample rate: 44100, 48000 or 96000").value_name("HZ");
  options->common.add_out(parser, ".wav, .flac, .ogg, .opus, .mp3 or .mid; may be given several times");
  options->common.add_json(parser);
  return [options, &console] {
    RenderOptions chosen = *options;
    chosen.soundfont = value_or_throw(soundfont_given(options->soundfont));
    run_render(chosen, console);
  };
}

}  // namespace romanesca
