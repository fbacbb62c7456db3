#include <fmt/format.h>

#include <numeric>

#include "cli/band_arranging.h"
#include "cli/heard_performance.h"
#include "cli/web/page_answer.h"
#include "cli/web/page_exercise.h"
#include "cli/web/page_song.h"
#include "theory/chord_naming.h"
#include "theory/header_text.h"

namespace romanesca {
namespace {

constexpr double longest_s = 600;  // of what a page renders in memory: about 200 MB

BandRequest band_of(const PageRequest& request, int bars) {
  BandRequest band;
  band.style = request.text("style");
  band.tempo_bpm = request.number("tempo", 0);
  if (band.tempo_bpm != 0) band.tempo_bpm = std::min(std::max(band.tempo_bpm, slowest_bpm), fastest_bpm);
  band.human_percent = request.whole("human", band.human_percent, 0, 100);
  band.seed = static_cast<std::uint32_t>(request.whole("seed", 1, 0, 1'000'000'000));
  band.click = request.yes("click");
  band.guide = request.text("guide");
  band.mute = request.texts("mute");
  band.with = request.texts("with");
  band.trade_bars = request.whole("trade", 0, 0, 32);
  // So often through that bars of band and bars of drums alone come out even.
  if (band.trade_bars > 0 && bars > 0) band.times = 2 * band.trade_bars / std::gcd(2 * band.trade_bars, bars);
  return band;
}

/// The clicks before the piece alone.
Parsed<Performance> count_in_of(const PlacedProgression& placed, BandRequest band, const Meter& meter) {
  band.count_in_bars = 1;
  band.times = 1;
  band.trade_bars = 0;
  Parsed<BackingTrack> track = try_arrange_backing(placed, band);
  if (!track) return track.error();
  Performance performance = std::move(track->song.performance);
  performance.length = meter.bar_length();
  for (Part& part : performance.parts) part.muted = part.name != "count-in";
  std::erase_if(performance.events, [&](const NoteEvent& event) {
    return performance.parts[event.part].muted || event.start >= performance.length;
  });
  return performance;
}

OrderedJson parts_json(const Performance& performance) {
  OrderedJson parts = OrderedJson::array();
  for (const Part& part : performance.parts) parts.push_back({{"part", part.name}, {"out", part.muted}});
  return parts;
}

OrderedJson chords_json(const BackingTrack& track, const Timeline& timeline) {
  std::vector<std::size_t> sounding;
  for (std::size_t i = 0; i < timeline.chords.size(); ++i) {
    if (timeline.chords[i].chord) sounding.push_back(i);
  }
  const TempoMap& tempo = track.song.performance.tempo;
  OrderedJson chords = OrderedJson::array();
  for (std::size_t i = 0; i < track.score.chords.size() && !sounding.empty(); ++i) {
    const ScoreChord& chord = track.score.chords[i];
    chords.push_back({{"start_s", tempo.seconds_at(chord.start)},
                      {"end_s", tempo.seconds_at(chord.start + chord.length)},
                      {"chord", sounding[i % sounding.size()]},
                      {"symbol", to_string(chord.chord)}});
  }
  return chords;
}

OrderedJson bars_json(const BackingTrack& track) {
  OrderedJson bars = OrderedJson::array();
  for (const ScoreBar& bar : track.score.bars) {
    bars.push_back({{"start_s", track.song.performance.tempo.seconds_at(bar.start)}, {"yours", bar.drums_alone}});
  }
  return bars;
}

Parsed<PageAnswer> heard_exercise(const PageRequest& request) {
  const Parsed<std::vector<Exercise>> exercises = page_exercises(request);
  if (!exercises) return exercises.error();
  PageAnswer answer;
  answer.performances.push_back(heard_performance(exercises->front()));
  const Performance& performance = answer.performances.front();
  answer.json = {{"length_s", performance.tempo.seconds_at(performance.length)}};
  return answer;
}

}  // namespace

Parsed<PageAnswer> backing_answer(const PageRequest& request) {
  if (request.has("exercise")) return heard_exercise(request.part("exercise"));
  const Parsed<PlacedProgression> placed = page_song(request);
  if (!placed) return placed.error();
  const Timeline& timeline = placed->analysis.timeline;
  const BandRequest band = band_of(request, timeline.bars);
  Parsed<BackingTrack> track = try_arrange_backing(*placed, band);
  if (!track) return track.error();
  Parsed<Performance> count_in = count_in_of(*placed, band, track->meter);
  if (!count_in) return count_in.error();
  const Performance& performance = track->song.performance;
  const double length_s = performance.tempo.seconds_at(performance.length);
  if (length_s > longest_s) {
    return unplaced_error(
        fmt::format("that lasts {:.0f} minutes, and the page plays up to {:.0f}", length_s / 60, longest_s / 60),
        "take a part of it");
  }
  PageAnswer answer;
  answer.json = {{"style", track->style},
                 {"tempo", track->tempo_bpm},
                 {"meter", to_string(track->meter)},
                 {"key", to_string(placed->key)},
                 {"length_s", length_s},
                 {"count_in_s", count_in->tempo.seconds_at(count_in->length)},
                 {"beats_in_bar", track->meter.bar_length().quarters() / track->meter.pulse_length().quarters()},
                 {"parts", parts_json(performance)},
                 {"bars", bars_json(*track)},
                 {"chords", chords_json(*track, timeline)}};
  answer.performances.push_back(std::move(track->song.performance));
  answer.performances.push_back(std::move(*count_in));
  return answer;
}

Parsed<PageAnswer> notes_answer(const PageRequest& request) {
  Performance performance;
  performance.parts.push_back({"piano", InstrumentId::piano, 0, false});
  performance.tempo = TempoMap(60);
  performance.length = Beats(2);
  for (const int midi : request.numbers("midi")) {
    if (midi < 21 || midi > 108) continue;
    performance.events.push_back({Beats(0), Beats(3, 2), static_cast<std::uint8_t>(midi), 80, 0});
  }
  PageAnswer answer;
  answer.json = {{"length_s", 2}};
  answer.performances.push_back(std::move(performance));
  return answer;
}

Parsed<PageAnswer> heard_answer(const PageRequest& request) {
  const std::vector<int> midi = request.numbers("midi");
  Key key;
  if (const auto read = parse_written_key(request.text("key"))) key = {read->tonic, read->mode.value_or(Mode::major)};
  PageAnswer answer;
  answer.json = {{"names", OrderedJson::array()}, {"notes", OrderedJson::array()}};
  for (const ChordName& name : name_notes(midi, key, 2)) answer.json["names"].push_back(to_string(name.chord));
  for (const int each : midi) answer.json["notes"].push_back(to_string(spelled_in((each % 12 + 12) % 12, key)));
  return answer;
}

}  // namespace romanesca
