#include "cli/studio/backing_track.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cli/studio/name_for_file.h"
#include "synth/arranging/band_arrangement.h"
#include "theory/songs/song_tune.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

/// The piece for each repetition: the first as it is, the next a fifth higher each if the request steps up.
std::vector<Timeline> rounds_of(const Placement& placed, const BandRequest& request) {
  std::vector<Timeline> rounds(static_cast<std::size_t>(request.times), placed.analysis.timeline);
  for (int round = 1; request.step_up && round < request.times; ++round) {
    const Interval by = interval_between(placed.key.tonic, key_of_round(placed.key, round).tonic);
    for (TimedChord& timed : rounds[static_cast<std::size_t>(round)].chords) {
      if (timed.chord) timed.chord = transposed(*timed.chord, by);
    }
  }
  return rounds;
}

/// The song's tune for each repetition; in another key it goes to the nearest octave. Empty for a song without one.
std::vector<Tune> tunes_of(const Placement& placed, const BandRequest& request) {
  if (!has_tune(placed.progression)) return {};
  std::vector<Tune> tunes(static_cast<std::size_t>(request.times), tune_of(placed.progression, placed.key));
  for (int round = 1; request.step_up && round < request.times; ++round) {
    const Interval by = interval_between(placed.key.tonic, key_of_round(placed.key, round).tonic);
    for (TuneNote& note : tunes[static_cast<std::size_t>(round)].notes) note.pitch = note.pitch + nearest_octave_of(by);
  }
  return tunes;
}

/// The arrangement at a tempo.
Performance at_tempo(Arrangement arrangement, double quarters_per_minute) {
  Performance performance;
  performance.events = std::move(arrangement.events);
  performance.parts = std::move(arrangement.parts);
  performance.length = arrangement.length;
  performance.tempo = TempoMap(quarters_per_minute * arrangement.tempos.front().factor);
  for (const TempoFactor& tempo : arrangement.tempos) {
    if (tempo.at > Beats(0)) performance.tempo.change(tempo.at, quarters_per_minute * tempo.factor);
  }
  return performance;
}

std::vector<Marker> chord_markers(const Score& score, Beats before, NoteNames names) {
  std::vector<Marker> markers;
  Beats until;
  for (const ScoreChord& chord : score.chords) {
    if (chord.start > until) markers.push_back({before + until, "N.C."});
    until = chord.start + chord.length;
    if (!chord.held) markers.push_back({before + chord.start, name_in(chord.chord, names)});
  }
  return markers;
}

/// Meters and keys, also where they change. @param before the length of the count-in
void add_signatures(MidiSong& song, const Placement& placed, const BandArrangement& band, const BandRequest& request) {
  const Meter meter = band.score.meter();
  const Beats before = meter.bar_length() * request.count_in_bars;
  song.meter_upper = meter.upper;
  song.meter_lower = meter.lower;
  for (const MeterChange& change : band.score.meters.changes()) {
    if (change.bar > 1) song.later_meters.push_back({before + change.start, change.meter.upper, change.meter.lower});
  }
  song.key_sharps = placed.key.signature();
  song.key_minor = placed.key.mode == Mode::minor;
  // A key that the text states: in each round, moved with it.
  const Timeline& timeline = placed.analysis.timeline;
  const int bars = static_cast<int>(band.score.bars.size()) - request.intro_bars;
  const int rounds = timeline.keys.empty() || timeline.bars == 0 ? 0 : bars / timeline.bars;
  for (int round = 0; round < rounds; ++round) {
    const Key home = key_of_round(placed.key, request.step_up ? round : 0);
    const int first = request.intro_bars + round * timeline.bars;
    const auto add = [&](int bar, const Key& key) {
      song.later_keys.push_back({before + band.score.meters.start_of(bar), key.signature(), is_minorish(key.mode)});
    };
    if (round > 0) add(first + 1, home);
    for (const StatedKey& stated : timeline.keys) {
      const Key& there = placed.analysis.keys.by_bar[static_cast<std::size_t>(stated.bar - 1)];
      const Key moved = simplest_spelling({there.tonic + (home.tonic - placed.key.tonic), there.mode});
      add(first + stated.bar, moved);
    }
  }
}

Status check_length(int bars, int times) {
  constexpr int most_bars = 20000;  // more than three hours at the fastest tempo
  const std::int64_t all = static_cast<std::int64_t>(bars) * times;
  if (all <= most_bars) return ok;
  return Failure(ExitStatus::wrong_input, fmt::format("that would be {} bars", all),
                 fmt::format("up to {} can be rendered", most_bars));
}

bool contains(const std::vector<std::string>& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

/// A tune that begins before bar 1 of a piece that is no loop, and has no bar to begin in.
bool needs_lead_in(const Tune& tune, const BandRequest& request) {
  const bool sounds =
      request.tune || request.guide == Guide::tune || contains(request.with, "tune") || contains(request.only, "tune");
  return sounds && tune.upbeat > Beats(0) && request.ending != Ending::none && request.intro_bars == 0 &&
         request.count_in_bars == 0;
}

/// Mutes the parts; keeps only those named, if any are. An error for an unknown part.
Status choose_parts(Performance& performance, const BandRequest& request) {
  std::vector<std::string> names;
  for (const Part& part : performance.parts) names.push_back(part.name);
  const auto leads = [](const std::string& name) { return name == "count-in" || name == "click" || name == "guide"; };
  if (!request.only.empty()) {
    for (Part& part : performance.parts) part.muted = !leads(part.name);
  }
  struct Choice {
    const std::vector<std::string>& parts;
    const char* option;
    bool muted;
  };
  for (const Choice& choice : {Choice{request.only, "--only", false}, Choice{request.with, "--with", false},
                               Choice{request.mute, "--mute", true}}) {
    for (const std::string& name : choice.parts) {
      const auto found = std::find(names.begin(), names.end(), name);
      if (found == names.end()) {
        return Failure(ExitStatus::wrong_input, fmt::format("{}: no part is called {}", choice.option, name),
                       fmt::format("the parts are {}", fmt::join(names, ", ")));
      }
      performance.parts[static_cast<std::size_t>(found - names.begin())].muted = choice.muted;
    }
  }
  if (std::all_of(performance.parts.begin(), performance.parts.end(), [](const Part& part) { return part.muted; })) {
    return Failure(ExitStatus::wrong_input, "no part is left to play", "mute fewer");
  }
  return ok;
}

/// Whether the request leaves a part of the style in.
bool plays(const BandRequest& request, std::string_view part) {
  return !contains(request.mute, part) && (request.only.empty() || contains(request.only, part));
}

/// What the request and the style ask of the form. @param key of the first time round
FormRequest form_of(const BandRequest& request, const Style& style, const Key& key) {
  const Key last_key = key_of_round(key, request.step_up ? request.times - 1 : 0);
  FormRequest form;
  form.intro_bars = request.intro_bars;
  form.drums_begin = style.drums_begin && plays(request, "drums");
  form.ending = request.ending;
  form.home = Chord::on(last_key.tonic, is_minorish(last_key.mode) ? chord_types::minor : chord_types::major);
  form.intensity = request.intensity;
  form.trade_bars = request.trade_bars;
  return form;
}

}  // namespace

Key key_of_round(const Key& first, int round) {
  return round == 0 ? first : simplest_spelling({PitchClass(first.tonic.fifths() + round), first.mode});
}

Result<const Style*> style_for(const Progression& progression, const std::string& asked, std::span<const Style> among) {
  const std::string& wanted = asked.empty() ? progression.style : asked;
  const Meter meter = progression.meter();
  if (wanted.empty()) return &usual_style(meter);
  const Style* style = style_named(wanted, among);
  std::vector<std::string> ids, fitting;
  for (const Style& each : among) {
    ids.push_back(each.id);
    if (each.meter == meter) fitting.push_back(each.id);
  }
  if (style == nullptr) {
    const auto near = nearest_word(wanted, ids);
    return Failure(
        ExitStatus::wrong_input, fmt::format("unknown style \"{}\"", wanted),
        near ? fmt::format("did you mean {}?", *near) : fmt::format("choose one of {}", fmt::join(ids, ", ")));
  }
  if (style->meter != meter) {
    return Failure(
        ExitStatus::wrong_input,
        fmt::format("the style {} is in {}, the song in {}", wanted, to_string(style->meter), to_string(meter)),
        fmt::format("in {} there is {}", to_string(meter), fmt::join(fitting, ", ")));
  }
  return style;
}

Result<BackingTrack> arrange_backing(const Placement& placed, const BandRequest& asked, std::span<const Style> among) {
  BandRequest request = asked;
  const Progression& progression = placed.progression;
  const Timeline& timeline = placed.analysis.timeline;
  if (const Status checked = check_length(timeline.bars, request.times); !checked) return checked.error();
  const auto chosen = style_for(progression, request.style, among);
  if (!chosen) return chosen.error();
  const Style& style = **chosen;
  BackingTrack track;
  track.key = placed.key;
  track.meter = to_string(timeline.meter());
  track.style = style.id;
  const double song_bpm = progression.tempo_bpm.value_or(style.usual_bpm);
  track.tempo_bpm = request.tempo_bpm > 0 ? request.tempo_bpm : song_bpm;

  const std::vector<Timeline> rounds = rounds_of(placed, request);
  Playing playing{track.tempo_bpm, request.human_percent, std::nullopt, request.seed};
  if (request.swing_percent != 0) playing.swing_percent = request.swing_percent;
  const std::vector<Tune> tunes = tunes_of(placed, request);
  if (!tunes.empty() && needs_lead_in(tunes.front(), request)) request.count_in_bars = 1;
  track.count_in_bars = request.count_in_bars;
  BandPlan plan{rounds,  progression.sections, song_bpm,      form_of(request, style, placed.key),
                playing, request.guide,        request.click, request.count_in_bars};
  plan.tunes = tunes;
  if (tunes.empty() && (request.tune || request.guide == Guide::tune)) {
    return Failure(ExitStatus::wrong_input, "there is no tune in that song",
                   "write one under its bars, or take --guide melody");
  }
  if (!tunes.empty()) plan.tune_parts.push_back({"tune", request.tune.value_or(InstrumentId::lead)});
  if (request.guide == Guide::tune) plan.tune_parts.push_back({"guide", InstrumentId::lead, guide_db});
  BandArrangement band = arrange_band(plan, style);
  track.bars = static_cast<int>(band.score.bars.size());

  Performance& performance = track.song.performance;
  performance = at_tempo(std::move(band.arrangement), track.tempo_bpm * timeline.meter().pulse_length().quarters());
  for (Part& part : performance.parts) {
    part.muted = part.name == students_part || (part.name == "tune" && !request.tune);
  }
  if (const Status chosen_parts = choose_parts(performance, request); !chosen_parts) return chosen_parts.error();
  for (const Part& part : performance.parts) {
    const bool students = part.name == students_part || part.name == "tune";
    const bool guided = part.name == "tune" && request.guide == Guide::tune;
    if (request.only.empty() && students && part.muted && !guided) track.left_to_student.push_back(part.name);
  }
  track.song.title = progression.title.empty() ? placed.name : progression.title;
  add_signatures(track.song, placed, band, request);
  track.song.markers =
      chord_markers(band.score, timeline.meter().bar_length() * request.count_in_bars, progression.names);
  track.score = std::move(band.score);
  const std::string name = name_for_file(placed.name);
  track.usual_file =
      fmt::format("{}-{}-{:.0f}.wav", name.empty() ? "backing" : name, to_string(placed.key.tonic), track.tempo_bpm);
  return track;
}

Result<BackingTrack> backing_of_midi(MidiSong song, const BandRequest& request, const std::string& path) {
  BackingTrack track;
  track.song = std::move(song);
  if (const Status chosen = choose_parts(track.song.performance, request); !chosen) return chosen.error();
  track.meter = fmt::format("{}/{}", track.song.meter_upper, track.song.meter_lower);
  track.tempo_bpm = track.song.performance.tempo.tempos().front().quarters_per_minute;
  const Beats bar{4 * static_cast<std::int64_t>(track.song.meter_upper), track.song.meter_lower};
  track.bars = static_cast<int>(whole_times(track.song.performance.length + bar - Beats(1, 1000), bar));
  track.usual_file = path.substr(path.find_last_of('/') + 1);
  track.usual_file = track.usual_file.substr(0, track.usual_file.rfind('.')) + ".wav";
  return track;
}

}  // namespace romanesca
