#include "cli/web/page_engine.h"

#include <algorithm>

#include "cli/chart_json.h"
#include "cli/web/page_song.h"
#include "synth/arranging/style.h"
#include "theory/chord_naming.h"
#include "theory/hands.h"
#include "theory/header_text.h"
#ifndef ROMANESCA_PACKET
#include "cli/web/page_lesson.h"
#endif

namespace romanesca {
namespace {

std::vector<int> notes_in(const OrderedJson& request) {
  std::vector<int> midi;
  const auto found = request.find("midi");
  if (found == request.end() || !found->is_array()) return midi;
  for (const auto& each : *found) {
    if (each.is_number_integer() && each >= 0 && each < 128 && midi.size() < 32) midi.push_back(each.get<int>());
  }
  return midi;
}

OrderedJson song_answer(const OrderedJson& request) {
  const auto song = song_of(request);
  if (!song) return error_json(song.error());
  HandSettings settings;
  settings.loops = true;
#ifndef ROMANESCA_PACKET
  settings = lesson_hands(request);
#else
  settings.span = static_cast<int>(std::clamp(number_in(request, "span", settings.span), 5.0, 16.0));
#endif
  const Hands hands = hands_for(song->analysis.timeline, settings, song->analysis.keys.by_bar);
  OrderedJson json = OrderedJson::parse(chart_json(song->progression, song->analysis, hands));
  json["placed_key"] = to_string(song->key);
  json["meter"] = to_string(song->progression.meter());
  // The twelve keys to choose from, and what the piano's keys are called in this one, both from C up.
  for (int semitone = 0; semitone < 12; ++semitone) {
    const Key key = simplest_spelling({spelled_in(semitone, Key{}), song->key.mode});
    json["keys"].push_back(to_string(key));
    json["names"].push_back(to_string(spelled_in(semitone, song->key)));
  }
  for (const Style& style : styles()) {
    if (style.meter == song->progression.meter()) json["styles"].push_back({{"id", style.id}, {"feel", style.feel}});
  }
  const Style* const own = style_named(song->progression.style);
  const Style& style =
      own != nullptr && own->meter == song->progression.meter() ? *own : usual_style(song->progression.meter());
  json["style"] = style.id;
  json["tempo"] = song->progression.tempo_bpm.value_or(style.usual_bpm);
#ifndef ROMANESCA_PACKET
  json["analysis"] = lesson_analysis(*song, request);
#endif
  return json;
}

/// One bar of clicks, for a count-in.
OrderedJson clicks_answer(const OrderedJson& request, std::vector<std::uint8_t>& plan) {
  const Meter meter = parse_meter(text_in(request, "meter")).value_or(Meter{});
  const double tempo = std::clamp(number_in(request, "tempo", usual_bpm), slowest_bpm, fastest_bpm);
  SoundPlan sound;
  sound.loop = false;
  sound.loudness_lufs = 0;
  sound.performance.parts.push_back({"count-in", InstrumentId::click, 0, false});
  sound.performance.tempo = TempoMap(tempo * meter.pulse_length().quarters());
  sound.performance.length = meter.bar_length();
  for (int pulse = 0; pulse < meter.pulses(); ++pulse) {
    const bool first = pulse == 0;
    sound.performance.events.push_back({meter.pulse_length() * pulse, Beats(1, 4),
                                        static_cast<std::uint8_t>(first ? 76 : 77),
                                        static_cast<std::uint8_t>(first ? 110 : 90), 0});
  }
  plan = plan_bytes(sound);
  return {{"seconds", sound.performance.tempo.seconds_at(meter.bar_length())}};
}

OrderedJson notes_answer(const OrderedJson& request, std::vector<std::uint8_t>& plan) {
  SoundPlan sound;
  sound.loop = false;
  sound.loudness_lufs = 0;
  sound.performance.parts.push_back({"keys", InstrumentId::piano, 0, false});
  sound.performance.tempo = TempoMap(60);
  sound.performance.length = Beats(2);
  for (const int midi : notes_in(request)) {
    sound.performance.events.push_back({Beats(0), Beats(1), static_cast<std::uint8_t>(midi), 84, 0});
  }
  plan = plan_bytes(sound);
  return OrderedJson::object();
}

OrderedJson name_answer(const OrderedJson& request) {
  const auto key = parse_written_key(text_in(request, "key"));
  const std::vector<int> midi = notes_in(request);
  const Key in = key ? Key{key->tonic, key->mode.value_or(Mode::major)} : Key{};
  const auto names = name_notes(midi, in, 1);
  return {{"name", names.empty() ? "" : to_string(names.front().chord)}};
}

}  // namespace

std::string PageEngine::answer(std::string_view text) {
  const OrderedJson request = OrderedJson::parse(text, nullptr, false);
  if (!request.is_object()) return R"({"error":{"message":"this is no request"}})";
  const std::string what = text_in(request, "do");
  OrderedJson json;
  if (what == "song") json = song_answer(request);
  if (what == "loop") json = loop_answer(request, plan_);
  if (what == "clicks") json = clicks_answer(request, plan_);
  if (what == "notes") json = notes_answer(request, plan_);
  if (what == "name") json = name_answer(request);
#ifndef ROMANESCA_PACKET
  if (what == "exercise") json = lesson_exercise(request);
  if (what == "library") json = lesson_library();
#endif
  if (json.is_null()) return R"({"error":{"message":"this is no request"}})";
  return json.dump(-1, ' ', false, OrderedJson::error_handler_t::replace);
}

}  // namespace romanesca
