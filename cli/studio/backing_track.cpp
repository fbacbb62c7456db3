#include "cli/studio/backing_track.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cli/failure.h"
#include "cli/studio/seating.h"
#include "synth/arranging/band_arrangement.h"
#include "theory/text/nearest_word.h"
#include "theory/songs/transposition.h"

namespace romanesca {
namespace {

const Style& chosen_style(const std::string& wanted, const Meter& meter, std::span<const Style> among) {
  if (wanted.empty()) return usual_style(meter);
  const Style* style = style_named(wanted, among);
  std::vector<std::string> ids, fitting;
  for (const Style& each : among) {
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

/// The piece as it goes each time round: the first time as it is, then a fifth higher each time where that is wished
/// for.
std::vector<Timeline> rounds_of(const PlacedProgression& placed, const BandRequest& request) {
  std::vector<Timeline> rounds(static_cast<std::size_t>(request.times), placed.analysis.timeline);
  for (int round = 1; request.step_up && round < request.times; ++round) {
    const Interval by = interval_between(placed.key.tonic, key_of_round(placed.key, round).tonic);
    for (TimedChord& timed : rounds[static_cast<std::size_t>(round)].chords) {
      if (timed.chord) timed.chord = transposed(*timed.chord, by);
    }
  }
  return rounds;
}

std::vector<Marker> chord_markers(const Score& score, Beats before) {
  std::vector<Marker> markers;
  Beats until;
  for (const ScoreChord& chord : score.chords) {
    if (chord.start > until) markers.push_back({before + until, "N.C."});
    until = chord.start + chord.length;
    if (!chord.held) markers.push_back({before + chord.start, to_string(chord.chord)});
  }
  return markers;
}

void check_length(int bars, int times) {
  constexpr int most_bars = 20000;  // more than three hours at the fastest tempo
  const std::int64_t all = static_cast<std::int64_t>(bars) * times;
  if (all <= most_bars) return;
  throw Failure(ExitStatus::wrong_input, fmt::format("that would be {} bars", all),
                fmt::format("I render up to {}", most_bars));
}

/// Throws Failure for a style that names an instrument that is not there.
void check_instruments(const Style& style) {
  for (const StylePart& part : style.parts) {
    if (instrument_named(part.instrument) != nullptr) continue;
    std::vector<std::string> names;
    for (const InstrumentRow& row : instruments()) names.emplace_back(row.name);
    const auto near = nearest_word(part.instrument, names);
    throw Failure(
        ExitStatus::wrong_input, fmt::format("the style {}: there is no instrument {}", style.id, part.instrument),
        near ? fmt::format("did you mean {}?", *near) : fmt::format("it is one of {}", fmt::join(names, ", ")));
  }
}

}  // namespace

Key key_of_round(const Key& first, int round) {
  return round == 0 ? first : simplest_spelling({PitchClass(first.tonic.fifths() + round), first.mode});
}

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
  const auto leads = [](const std::string& name) { return name == "count-in" || name == "click" || name == "guide"; };
  if (!request.only.empty()) {
    for (Part& part : performance.parts) part.muted = !leads(part.name);
    for (const std::string& name : request.only) performance.parts[find(name, "--only")].muted = false;
  }
  for (const std::string& name : request.with) performance.parts[find(name, "--with")].muted = false;
  for (const std::string& name : request.mute) performance.parts[find(name, "--mute")].muted = true;
  if (std::all_of(performance.parts.begin(), performance.parts.end(), [](const Part& part) { return part.muted; })) {
    throw Failure(ExitStatus::wrong_input, "no part is left to play", "mute fewer");
  }
}

BackingTrack arrange_backing(const PlacedProgression& placed, const BandRequest& request,
                             std::span<const Style> among) {
  request.check();
  const Progression& progression = placed.progression;
  const Timeline& timeline = placed.analysis.timeline;
  check_length(timeline.bars, request.times);
  BackingTrack track;
  track.meter = timeline.meter;
  const Style& style = chosen_style(request.style.empty() ? progression.style : request.style, track.meter, among);
  check_instruments(style);
  track.style = style.id;
  const double song_bpm = progression.tempo_bpm.value_or(style.usual_bpm);
  track.tempo_bpm = request.tempo_bpm > 0 ? request.tempo_bpm : song_bpm;

  const Key last_key = key_of_round(placed.key, request.step_up ? request.times - 1 : 0);
  FormRequest form;
  form.intro_bars = request.intro_bars;
  form.ending = request.ending_wanted();
  form.home = Chord::on(last_key.tonic, is_minorish(last_key.mode) ? chord_types::minor : chord_types::major);
  form.intensity = request.intensity_wanted();
  form.trade_bars = request.trade_bars;
  const std::vector<Timeline> rounds = rounds_of(placed, request);
  Playing playing{track.tempo_bpm, request.human_percent, std::nullopt, request.seed};
  if (request.swing_percent != 0) playing.swing_percent = request.swing_percent;
  BandArrangement band = arrange_band({rounds, progression.sections, song_bpm, form, playing, request.guide_wanted(),
                                       request.click, request.count_in_bars},
                                      style);
  track.bars = static_cast<int>(band.score.bars.size());

  Performance& performance = track.song.performance;
  performance = seated(band.arrangement, track.tempo_bpm * track.meter.pulse_length().quarters());
  for (Part& part : performance.parts) part.muted = part.name == students_part;
  choose_parts(performance, request);
  track.left_to_student =
      request.only.empty() && std::any_of(performance.parts.begin(), performance.parts.end(),
                                          [](const Part& part) { return part.name == students_part && part.muted; });
  track.song.title = progression.title.empty() ? placed.source.name : progression.title;
  track.song.meter_upper = track.meter.upper;
  track.song.meter_lower = track.meter.lower;
  track.song.key_sharps = placed.key.signature();
  track.song.key_minor = placed.key.mode == Mode::minor;
  track.song.markers = chord_markers(band.score, track.meter.bar_length() * request.count_in_bars);
  track.score = std::move(band.score);
  return track;
}

}  // namespace romanesca
