#include "cli/web/page_song.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "cli/studio/seating.h"
#include "synth/arranging/band_arrangement.h"
#include "theory/songs/header_text.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

constexpr int most_bars = 400;  // of a loop that a phone is to hold in memory
constexpr double longest_s = 600;

TextError plain_error(std::string message, std::string hint) {
  TextError error;
  error.message = std::move(message);
  error.hint = std::move(hint);
  return error;
}

/// The style asked for, the song's own, or the usual one; one in another meter counts as none.
const Style& style_for(const OrderedJson& request, const Progression& song) {
  for (const std::string& name : {text_in(request, "style"), song.style}) {
    const Style* const style = style_named(name);
    if (style != nullptr && style->meter == song.meter()) return *style;
  }
  return usual_style(song.meter());
}

struct Moment {
  const Performance& performance;
  double operator()(Beats at) const { return std::round(performance.tempo.seconds_at(at) * 1e6) / 1e6; }
};

OrderedJson timeline_json(const Score& score, const Performance& performance) {
  const Moment seconds{performance};
  OrderedJson json{{"seconds", seconds(performance.length)},
                   {"beats", OrderedJson::array()},
                   {"bars", OrderedJson::array()},
                   {"chords", OrderedJson::array()}};
  for (Beats at; at < performance.length; at += score.meter.pulse_length()) json["beats"].push_back(seconds(at));
  for (const ScoreBar& bar : score.bars) json["bars"].push_back(seconds(bar.start));
  for (const ScoreChord& chord : score.chords) {
    json["chords"].push_back({{"at", seconds(chord.start)},
                              {"until", seconds(chord.start + chord.length)},
                              {"symbol", to_string(chord.chord)},
                              {"held", chord.held}});
  }
  return json;
}

/// Parts that are out: those named, and the keys where nobody asks for them.
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

double number_in(const OrderedJson& request, const char* name, double otherwise) {
  const auto found = request.find(name);
  return found != request.end() && found->is_number() ? found->get<double>() : otherwise;
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
  auto progression = parse_progression(text_in(request, "text"), "song");
  if (!progression) return progression.error();
  std::optional<KeyText> key;
  if (const std::string wanted = text_in(request, "key"); !wanted.empty()) {
    key = parse_written_key(wanted);
    if (!key) return plain_error("\"" + wanted + "\" is no key", "choose one of the list");
  }
  const std::optional<Mode> open_mode = parse_mode(text_in(request, "mode"));
  return place_in_key(std::move(*progression), key, open_mode);
}

OrderedJson loop_answer(const OrderedJson& request, std::vector<std::uint8_t>& plan) {
  const auto song = song_of(request);
  if (!song) return error_json(song.error());
  const Timeline& timeline = song->analysis.timeline;
  if (timeline.bars > most_bars) {
    return error_json(plain_error("that is too long to play here", "take a section of it"));
  }
  const Style& style = style_for(request, song->progression);
  const double song_bpm = song->progression.tempo_bpm.value_or(style.usual_bpm);
  const double tempo = std::clamp(number_in(request, "tempo", song_bpm), slowest_bpm, fastest_bpm);
  BandPlan band;
  band.rounds = {&timeline, 1};
  band.sections = song->progression.sections;
  band.song_bpm = song_bpm;
  band.form.trade_bars = static_cast<int>(std::clamp(number_in(request, "trade", 0), 0.0, 32.0));
  band.playing = {tempo, 30, std::nullopt, static_cast<std::uint32_t>(number_in(request, "seed", 1))};
  band.guide = parse_guide(text_in(request, "guide"));
  band.click = flag_in(request, "click");
  const BandArrangement arranged = arrange_band(band, style);
  SoundPlan sound;
  sound.performance = seated(arranged.arrangement, tempo * song->progression.meter().pulse_length().quarters());
  if (sound.performance.tempo.seconds_at(sound.performance.length) > longest_s) {
    return error_json(plain_error("that is too long to play here", "take a section of it, or a faster tempo"));
  }
  mute_parts(request, sound.performance);
  plan = plan_bytes(sound);
  OrderedJson json = timeline_json(arranged.score, sound.performance);
  json["key"] = to_string(song->key);
  json["style"] = style.id;
  json["tempo"] = tempo;
  json["meter"] = to_string(style.meter);
  json["pulses"] = style.meter.pulses();
  for (const Part& part : sound.performance.parts) {
    json["parts"].push_back({{"name", part.name}, {"out", part.muted}});
  }
  return json;
}

}  // namespace romanesca
