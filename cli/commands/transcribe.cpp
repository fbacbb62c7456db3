#include <fmt/format.h>

#include <cmath>
#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/recording_json.h"
#include "cli/options.h"
#include "cli/studio/file_io.h"
#include "cli/studio/recording.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

constexpr double slowest_pulse = 30, fastest_pulse = 240;
constexpr int widest_shift = 12;

struct TranscribeOptions {
  CommonOptions common;
  std::string recording, meter, against, title;
  std::optional<double> tempo, first;
  bool half = false, twice = false, tune = false;
  int shift = 0;

  void add(OptionParser& parser) {
    parser
        .add_option("recording", recording,
                    "a piano or a band, recorded: WAV, FLAC, Ogg or MP3; others where ffmpeg is installed")
        .required(true)
        .value_name("FILE");
    parser.add_flag("--tune", tune, "the recording has one voice, sung or played: writes its tune, not chords");
    parser.add_option("--tempo", tempo, "about how many beats a minute it has: tapped, 30 to 240").value_name("BPM");
    parser
        .add_option("--meter", meter,
                    "2/4, 3/4, 4/4, 5/4, 6/8, 9/8 or 12/8; else found: 4/4, 3/4 or 2/4, of a tune 4/4, 3/4 or 6/8")
        .value_name("METER");
    parser.add_option("--first", first, "where the first bar begins; what comes before is left out")
        .value_name("SECONDS");
    parser.add_flag("--half", half, "half the tempo: bars twice as long as they were found");
    parser.add_flag("--double", twice, "twice the tempo: bars half as long as they were found");
    parser.add_option("--shift", shift, "bar lines as many beats later than they were found, or earlier: -1")
        .value_name("BEATS");
    parser.add_option("--key", common.key, "the key that it is in, where another one was found").value_name("KEY");
    parser.add_option("--title", title, "of the song; else the name of the file").value_name("TITLE");
    parser.add_option("--against", against, "compares with the chart that was played, and says how much was right")
        .value_name("PROGRESSION");
    common.add_out(parser, ".txt for the song, or .json");
    common.add_json(parser);
    parser.add_flag("--quiet", common.quiet, "do not tell what was heard");
    common.moves = false;
  }

  [[nodiscard]] ChartRequest request(const OptionParser& parser, const Console& console) const {
    ChartRequest request;
    request.title = title.empty() ? std::filesystem::path(recording).stem().string() : title;
    if (tempo && !(*tempo >= slowest_pulse && *tempo <= fastest_pulse)) {
      throw Failure(ExitStatus::wrong_input, fmt::format("--tempo: {} is out of range", *tempo),
                    fmt::format("choose {:.0f} to {:.0f}", slowest_pulse, fastest_pulse));
    }
    request.tempo_bpm = tempo;
    if (!meter.empty()) {
      request.meter = parse_meter(meter);
      if (!request.meter) unknown_value("--meter", meter, "2/4, 3/4, 4/4, 5/4, 6/8, 9/8 or 12/8");
    }
    if (first && !(*first >= 0 && *first <= longest_recording_s)) {
      throw Failure(ExitStatus::wrong_input, fmt::format("--first: {} is out of range", *first),
                    "give the seconds from the beginning of the recording, like 2.4");
    }
    request.first_line_s = first;
    if (half && twice) throw Failure(ExitStatus::wrong_input, "--half and --double exclude each other", "choose one");
    if ((half || twice) && tempo) {
      throw Failure(ExitStatus::wrong_input,
                    fmt::format("--{} changes a tempo that was found", half ? "half" : "double"),
                    "with --tempo, give the tempo that you mean");
    }
    request.tempo_factor = half ? 0.5 : twice ? 2 : 1;
    if (parser.given("--shift") && (shift == 0 || std::abs(shift) > widest_shift)) {
      throw Failure(ExitStatus::wrong_input, fmt::format("--shift: {} is out of range", shift),
                    "give 1 or more beats later, or -1 and less for earlier");
    }
    request.shift = shift;
    request.key = common.key_given(console);
    return request;
  }
};

struct Outputs {
  std::optional<std::filesystem::path> file;
  bool json = false;
};

/// Writes what was asked for: the song's text, JSON, or both.
void write_draft(const Outputs& outputs, const std::string& text, const std::function<std::string()>& json_text,
                 Console& console) {
  const bool json_file = outputs.file && ending_of(*outputs.file) == "json";
  if (outputs.json) write_output(json_text(), std::nullopt, console);
  if (json_file) write_output(json_text(), outputs.file, console);
  if (outputs.file && !json_file) write_output(text, outputs.file, console);
  if (!outputs.file && !outputs.json) write_output(text, std::nullopt, console);
}

/// The chart that was played, as absolute chords, and its key.
ChartMatch compared_with(const RecordingChart& heard, const std::string& chart, const CommonOptions& common,
                         Console& console) {
  const NamedProgression source = value_or_throw(read_progression(chart, console.in, common.reading(console)));
  const Placement placed = value_or_throw(place(source, std::nullopt));
  return match_chart(heard, placed.progression, placed.key);
}

}  // namespace

std::function<void()> set_up_transcribe(OptionParser& parser, Console& console) {
  auto options = std::make_shared<TranscribeOptions>();
  options->add(parser);
  return [options, &parser, &console] {
    const auto file = options->common.out_given({"txt", "json"});
    const ChartRequest request = options->request(parser, console);
    if (!options->against.empty() && (file || options->common.json)) {
      throw Failure(ExitStatus::wrong_input, "--against answers in words alone", "leave --out and --json out");
    }
    if (options->tune && !options->against.empty())
      throw Failure(ExitStatus::wrong_input, "--against compares chords, --tune writes none", "choose one of them");
    const std::vector<float> sound = value_or_throw(read_recording(options->recording));
    const Outputs outputs{file, options->common.json};
    if (options->tune) {
      const RecordedTune tune = value_or_throw(tune_of_recording(sound, request));
      const std::string text = write_progression(tune.song.progression);
      if (!options->common.quiet) console.err << recorded_tune_summary(tune);
      write_draft(
          outputs, text, [&] { return recorded_tune_json(tune, text).dump() + "\n"; }, console);
      return;
    }
    const RecordingChart chart = value_or_throw(chart_of_recording(sound, request));
    if (!options->against.empty()) {
      write_output(match_text(compared_with(chart, options->against, options->common, console)), std::nullopt, console);
      return;
    }
    const std::string text = write_progression(chart.song);
    if (!options->common.quiet) console.err << recording_summary(chart);
    write_draft(
        outputs, text, [&] { return recording_json(chart, text).text(); }, console);
  };
}

}  // namespace romanesca
