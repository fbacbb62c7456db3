#include "cli/backing_track.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/failure.h"
#include "synth/arranging/arranger.h"
#include "theory/nearest_word.h"

namespace romanesca {
namespace {

const Style& chosen_style(const std::string& wanted, const Meter& meter) {
  if (wanted.empty()) return usual_style(meter);
  const Style* style = style_named(wanted);
  std::vector<std::string> ids, fitting;
  for (const Style& each : styles()) {
    ids.push_back(each.id);
    if (each.meter == meter) fitting.push_back(each.id);
  }
  if (style == nullptr) {
    const auto near = nearest_word(wanted, ids);
    throw Failure(
        ExitStatus::wrong_input, fmt::format("there is no style {}", wanted),
        near ? fmt::format("did you mean {}?", *near) : fmt::format("choose one of {}", fmt::join(ids, ", ")));
  }
  if (style->meter != meter) {
    throw Failure(
        ExitStatus::wrong_input,
        fmt::format("the style {} is in {}, the song in {}", wanted, to_string(style->meter), to_string(meter)),
        fmt::format("in {} there is {}", to_string(meter), fmt::join(fitting, ", ")));
  }
  return *style;
}

void check_range(const char* option, double value, double lowest, double highest) {
  if (value >= lowest && value <= highest) return;
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: {} is out of range", option, value),
                fmt::format("choose {} to {}", lowest, highest));
}

std::vector<Marker> chord_markers(const Timeline& timeline, int times, Beats before) {
  std::vector<Marker> markers;
  for (int round = 0; round < times; ++round) {
    for (const TimedChord& timed : timeline.chords) {
      if (timed.held) continue;
      markers.push_back(
          {before + timeline.length() * round + timed.start, timed.chord ? to_string(*timed.chord) : "N.C."});
    }
  }
  return markers;
}

}  // namespace

void choose_parts(Performance& performance, const BandRequest& request) {
  std::vector<std::string> names;
  for (const Part& part : performance.parts) names.push_back(part.name);
  const auto find = [&](const std::string& name, const char* option) {
    const auto found = std::find(names.begin(), names.end(), name);
    if (found == names.end()) {
      throw Failure(ExitStatus::wrong_input, fmt::format("{}: no part is called {}", option, name),
                    fmt::format("the parts are {}", fmt::join(names, ", ")));
    }
    return static_cast<std::size_t>(found - names.begin());
  };
  if (!request.only.empty()) {
    for (Part& part : performance.parts) part.muted = part.name != "count-in";
    for (const std::string& name : request.only) performance.parts[find(name, "--only")].muted = false;
  }
  for (const std::string& name : request.mute) performance.parts[find(name, "--mute")].muted = true;
  if (std::all_of(performance.parts.begin(), performance.parts.end(), [](const Part& part) { return part.muted; })) {
    throw Failure(ExitStatus::wrong_input, "no part is left to play", "mute fewer");
  }
}

BackingTrack arrange_backing(const PlacedProgression& placed, const BandRequest& request) {
  const Progression& progression = placed.progression;
  const Timeline& timeline = placed.analysis.timeline;
  check_range("--times", request.times, 1, 200);
  check_range("--count-in", request.count_in_bars, 0, 8);
  constexpr int most_bars = 20000;  // a working day of music
  if (static_cast<std::int64_t>(timeline.bars) * request.times > most_bars) {
    throw Failure(ExitStatus::wrong_input,
                  fmt::format("that would be {} bars", static_cast<std::int64_t>(timeline.bars) * request.times),
                  fmt::format("I render up to {}", most_bars));
  }
  BackingTrack track;
  track.meter = timeline.meter;
  const Style& style = chosen_style(request.style.empty() ? progression.style : request.style, track.meter);
  track.style = style.id;
  track.tempo_bpm = request.tempo_bpm > 0 ? request.tempo_bpm : progression.tempo_bpm.value_or(style.usual_bpm);
  track.bars = timeline.bars * request.times;

  const Arrangement arrangement =
      with_count_in(repeated(arrange(timeline, style), request.times), track.meter, request.count_in_bars);
  Performance& performance = track.song.performance;
  performance.events = arrangement.events;
  performance.length = arrangement.length;
  performance.tempo = TempoMap(track.tempo_bpm * track.meter.pulse_length().quarters());
  for (const ArrangedPart& part : arrangement.parts) {
    const InstrumentRow* row = instrument_named(part.instrument);
    if (row == nullptr)
      throw Failure(ExitStatus::wrong_input, fmt::format("there is no instrument {}", part.instrument));
    performance.parts.push_back({part.name, row->id, static_cast<float>(part.level_db), false});
  }
  choose_parts(performance, request);
  track.song.title = progression.title.empty() ? placed.source.name : progression.title;
  track.song.meter_upper = track.meter.upper;
  track.song.meter_lower = track.meter.lower;
  track.song.key_sharps = placed.key.signature();
  track.song.key_minor = placed.key.mode == Mode::minor;
  track.song.markers = chord_markers(timeline, request.times, track.meter.bar_length() * request.count_in_bars);
  return track;
}

}  // namespace romanesca
