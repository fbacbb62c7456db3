#include "cli/web/page_song.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "cli/studio/backing_track.h"
#include "theory/songs/header_text.h"
#include "theory/songs/song_reading.h"

namespace romanesca {
namespace {

constexpr int max_bars = 400;  // a phone must hold the loop in memory
constexpr double max_seconds = 600;

TextError plain_error(std::string message, std::string hint) {
  TextError error;
  error.message = std::move(message);
  error.hint = std::move(hint);
  return error;
}

OrderedJson timeline_json(const Score& score, const Performance& performance) {
  const auto seconds = [&](Beats at) { return std::round(performance.tempo.seconds_at(at) * 1e6) / 1e6; };
  OrderedJson json{{"seconds", seconds(performance.length)},
                   {"beats", OrderedJson::array()},
                   {"bars", OrderedJson::array()},
                   {"chords", OrderedJson::array()}};
  for (const ScoreBar& bar : score.bars) {
    json["bars"].push_back(seconds(bar.start));
    for (int pulse = 0; pulse < bar.meter.pulses(); ++pulse)
      json["beats"].push_back(seconds(bar.start + bar.meter.pulse_length() * pulse));
  }
  for (const ScoreChord& chord : score.chords) {
    json["chords"].push_back({{"at", seconds(chord.start)},
                              {"until", seconds(chord.start + chord.length)},
                              {"symbol", to_string(chord.chord)},
                              {"held", chord.held}});
  }
  return json;
}

/// Mutes the parts in "out", and the student's part unless it is in "in".
void mute_parts(const OrderedJson& request, Performance& performance) {
  const auto named = [&](const char* list, const std::string& name) {
    const auto found = request.find(list);
    return found != request.end() && found->is_array() &&
           std::any_of(found->begin(), found->end(), [&](const auto& each) { return each == name; });
  };
  for (Part& part : performance.parts) {
    part.muted = named("out", part.name) || (part.name == students_part && !named("in", part.name));
  }
}

}  // namespace

std::string text_in(const OrderedJson& request, const char* name) {
  const auto found = request.find(name);
  return found != request.end() && found->is_string() ? found->get<std::string>() : std::string();
}

double number_in(const OrderedJson& request, const char* name, double fallback) {
  const auto found = request.find(name);
  return found != request.end() && found->is_number() ? found->get<double>() : fallback;
}

bool flag_in(const OrderedJson& request, const char* name) {
  const auto found = request.find(name);
  return found != request.end() && found->is_boolean() && found->get<bool>();
}

OrderedJson error_json(const TextError& error) {
  return {{"error",
           {{"message", error.message},
            {"hint", error.hint},
            {"line", error.place.line},
            {"column", error.place.column},
            {"width", error.place.width}}}};
}

Parsed<Placement> song_of(const OrderedJson& request) {
  auto reading = read_song(text_in(request, "text"), "song");
  if (!reading) return reading.error();
  std::optional<KeyText> key;
  if (const std::string text = text_in(request, "key"); !text.empty()) {
    key = parse_written_key(text);
    if (!key) return plain_error("unknown key \"" + text + "\"", "choose one of the list");
  }
  return place_in_key({std::move(reading->progression), "song", parse_mode(text_in(request, "mode"))}, key);
}

OrderedJson loop_answer(const OrderedJson& request, std::vector<std::uint8_t>& plan) {
  const auto song = song_of(request);
  if (!song) return error_json(song.error());
  if (song->analysis.timeline.bars > max_bars) {
    return error_json(plain_error("that is too long to play here", "take a section of it"));
  }
  BandRequest band;
  // A style of another meter than the text, chosen before the text was changed, is ignored.
  const Style* const style = style_named(text_in(request, "style"));
  if (style != nullptr && style->meter == song->progression.meter()) band.style = style->id;
  const double tempo = number_in(request, "tempo", 0);
  if (tempo > 0) band.tempo_bpm = std::clamp(tempo, slowest_bpm, fastest_bpm);
  band.trade_bars = static_cast<int>(std::clamp(number_in(request, "trade", 0), 0.0, 32.0));
  band.seed = static_cast<std::uint32_t>(number_in(request, "seed", 1));
  band.guide = parse_guide(text_in(request, "guide"));
  band.click = flag_in(request, "click");
  auto track = arrange_backing(*song, band);
  if (!track) return error_json(track.error().error());
  SoundPlan sound;
  sound.performance = std::move(track->song.performance);
  if (sound.performance.tempo.seconds_at(sound.performance.length) > max_seconds) {
    return error_json(plain_error("that is too long to play here", "take a section of it, or a faster tempo"));
  }
  mute_parts(request, sound.performance);
  plan = plan_bytes(sound);
  OrderedJson json = timeline_json(track->score, sound.performance);
  json["key"] = to_string(song->key);
  json["style"] = track->style;
  json["tempo"] = track->tempo_bpm;
  json["meter"] = track->meter;
  json["pulses"] = track->score.meter().pulses();
  for (const Part& part : sound.performance.parts) {
    json["parts"].push_back({{"name", part.name}, {"out", part.muted}});
  }
  return json;
}

}  // namespace romanesca
