#include "cli/web/page_bars.h"

#include <algorithm>

#include "cli/web/page_data.h"
#include "theory/voicing/hands.h"

namespace romanesca {
namespace {

constexpr int most_page_bars = 4000;
constexpr std::size_t most_kept = 4;  // what sounds, what waits, and what a change that is taken back goes back to
const Beats early{1, 10};             // a note that comes so little before a bar line belongs to the bar after it
constexpr std::uint8_t hands_velocity = 84;  // as loud as a player who is heard over the band
constexpr double lowest_gain_db = -60, highest_gain_db = 12;
constexpr std::string_view right_part = "right hand", left_part = "left hand";

int bar_of_event(const NoteEvent& event, const MeterMap& meters) { return meters.bar_at(event.start + early) - 1; }

/// Adds what the chart's hands play as two parts that rest at first: each chord struck once and held.
void add_hands(const Placement& song, const OrderedJson& request, Performance& performance) {
  const auto member = request.find("hands");
  const HandSettings settings = read_hand_settings(member == request.end() ? OrderedJson() : *member);
  const Timeline& timeline = song.analysis.timeline;
  const Hands hands = hands_for(timeline, settings, song.analysis.keys.by_bar);
  const auto right = static_cast<std::uint8_t>(performance.parts.size());
  const auto left = static_cast<std::uint8_t>(right + 1);
  performance.parts.push_back({std::string(right_part), InstrumentId::piano, 0, true});
  performance.parts.push_back({std::string(left_part), InstrumentId::piano, 0, true});
  const auto add = [&](const Voicing& voicing, std::uint8_t part, const TimedChord& timed) {
    for (const Pitch pitch : voicing) {
      performance.events.push_back(
          {timed.start, timed.length, static_cast<std::uint8_t>(pitch.midi()), hands_velocity, part});
    }
  };
  for (std::size_t i = 0; i < timeline.chords.size(); ++i) {
    add(hands.chords[i].right, right, timeline.chords[i]);
    add(hands.chords[i].left, left, timeline.chords[i]);
  }
}

/// Mutes the parts in "parts" and sets their gain; a part that is not named is as it was arranged.
void set_parts(const OrderedJson& request, std::vector<Part>& parts) {
  const auto found = request.find("parts");
  if (found == request.end() || !found->is_object()) return;
  for (Part& part : parts) {
    const auto own = found->find(part.name);
    if (own == found->end() || !own->is_object()) continue;
    if (const auto out = own->find("out"); out != own->end() && out->is_boolean()) part.muted = out->get<bool>();
    const double gain_db = static_cast<double>(part.gain_db) + number_in(*own, "gain", 0);
    part.gain_db = static_cast<float>(std::clamp(gain_db, lowest_gain_db, highest_gain_db));
  }
}

std::vector<KeySet> keys_of_parts(const Performance& performance) {
  std::vector<KeySet> keys;
  for (const Part& part : performance.parts) {
    keys.push_back(instrument(part.instrument).drums ? KeySet() : KeySet().set());
  }
  for (const NoteEvent& event : performance.events) keys[event.part].set(event.midi & 0x7FU);
  return keys;
}

double factor_at(const TempoMap& tempo, Beats at) {
  const auto& tempos = tempo.tempos();
  const auto* const after = std::find_if(tempos.data(), tempos.data() + tempos.size(),
                                         [&](const TempoMap::Tempo& each) { return each.at > at; });
  return std::prev(after)->quarters_per_minute / tempos.front().quarters_per_minute;
}

}  // namespace

Parsed<const PageBars::Arranged*> PageBars::arranged(const OrderedJson& request) {
  OrderedJson wanted;
  for (const char* name : {"text", "key", "mode", "style", "click", "trade", "seed", "hands", "tune"}) {
    if (const auto found = request.find(name); found != request.end()) wanted[name] = *found;
  }
  std::string id = wanted.dump(-1, ' ', false, OrderedJson::error_handler_t::replace);
  for (const Arranged& each : arranged_) {
    if (each.request == id) return &each;
  }
  const auto song = song_of(request);
  if (!song) return song.error();
  if (song->analysis.timeline.bars > most_page_bars) {
    TextError error;
    error.message = "that is too long to play here";
    error.hint = "take a part of it";
    return error;
  }
  BandRequest band = band_request(*song, request);
  band.tempo_bpm =
      0;  // each bar has its own; players are as uneven as at the song's, so that no bar depends on another
  auto track = arrange_backing(*song, band);
  if (!track) return track.error().error();
  add_hands(*song, request, track->song.performance);
  std::vector<KeySet> keys = keys_of_parts(track->song.performance);
  arranged_.push_front({std::move(id), std::move(*track), std::move(keys)});
  if (arranged_.size() > most_kept) arranged_.pop_back();
  return &arranged_.front();
}

OrderedJson PageBars::form(const OrderedJson& request) {
  const auto track = arranged(request);
  if (!track) return error_json(track.error());
  const BackingTrack& found = (*track)->track;
  OrderedJson json{{"style", found.style},
                   {"tempo", found.tempo_bpm},
                   {"meter", found.meter},
                   {"pulses", found.score.meter().pulses()},
                   {"key", found.key ? to_string(*found.key) : ""},
                   {"parts", OrderedJson::array()},
                   {"bars", OrderedJson::array()}};
  for (const Part& part : found.song.performance.parts) {
    json["parts"].push_back({{"name", part.name}, {"out", part.muted}});
  }
  for (const ScoreBar& bar : found.score.bars) {
    json["bars"].push_back({{"you", bar.drums_alone},
                            {"factor", factor_at(found.song.performance.tempo, bar.start)},
                            {"beats", bar.meter.upper},
                            {"pulses", bar.meter.pulses()}});
  }
  return json;
}

OrderedJson PageBars::bar(const OrderedJson& request, std::vector<std::uint8_t>& plan) {
  const auto track = arranged(request);
  if (!track) return error_json(track.error());
  const BackingTrack& found = (*track)->track;
  const Performance& whole = found.song.performance;
  const auto bars = static_cast<int>(found.score.bars.size());
  const int bar = static_cast<int>(std::clamp(number_in(request, "bar", 0), 0.0, static_cast<double>(bars - 1)));
  const Meter meter = found.score.meters.at(bar + 1);
  const bool rest = flag_in(request, "rest");
  SoundPlan sound;
  sound.loop = false;
  sound.from = found.score.meters.start_of(bar + 1);
  sound.performance.length = meter.bar_length();
  sound.performance.parts = whole.parts;
  sound.keys = (*track)->keys;
  set_parts(request, sound.performance.parts);
  for (NoteEvent event : whole.events) {
    if (rest || bar_of_event(event, found.score.meters) != bar) continue;
    event.start = std::max(event.start, sound.from);
    sound.performance.events.push_back(event);
  }
  const double tempo = std::clamp(number_in(request, "tempo", found.tempo_bpm), slowest_bpm, fastest_bpm);
  sound.performance.tempo =
      TempoMap(tempo * found.score.meter().pulse_length().quarters() * factor_at(whole.tempo, sound.from));
  plan = plan_bytes(sound);
  return {{"pulses", meter.pulses()}};
}

OrderedJson PageBars::level(const OrderedJson& request, std::vector<std::uint8_t>& plan) {
  constexpr int measured_bars = 8;
  const auto track = arranged(request);
  if (!track) return error_json(track.error());
  SoundPlan sound;
  sound.loop = false;
  sound.performance = (*track)->track.song.performance;
  const Beats end = std::min(sound.performance.length, (*track)->track.score.meters.start_of(measured_bars + 1));
  sound.performance.length = end;
  std::erase_if(sound.performance.events, [&](const NoteEvent& event) { return event.start >= end; });
  plan = plan_bytes(sound);
  return OrderedJson::object();
}

}  // namespace romanesca
