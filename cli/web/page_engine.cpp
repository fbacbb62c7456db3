#include "cli/web/page_engine.h"

#include <algorithm>

#include "cli/web/page_chart.h"
#include "cli/web/page_data.h"
#include "cli/web/page_paper.h"
#include "cli/web/page_song.h"
#include "cli/web/page_tune.h"
#include "theory/chords/chord_naming.h"
#include "theory/songs/header_text.h"
#ifndef ROMANESCA_PACKET
#include "cli/web/page_lesson.h"
#endif

namespace romanesca {
namespace {

constexpr std::size_t high_block = 76, low_block = 77;  // General MIDI percussion keys

std::vector<int> notes_in(const OrderedJson& request) {
  std::vector<int> midi;
  const auto found = request.find("midi");
  if (found == request.end() || !found->is_array()) return midi;
  for (const auto& each : *found) {
    if (each.is_number_integer() && each >= 0 && each < 128 && midi.size() < 32) midi.push_back(each.get<int>());
  }
  return midi;
}

/// One bar of clicks, for a count-in.
OrderedJson clicks_answer(const OrderedJson& request, std::vector<std::uint8_t>& plan) {
  const Meter meter = parse_meter(text_in(request, "meter")).value_or(Meter{});
  const double tempo = std::clamp(number_in(request, "tempo", usual_bpm), slowest_bpm, fastest_bpm);
  SoundPlan sound;
  sound.loop = false;
  sound.loudness_lufs = 0;
  sound.performance.parts.push_back({"count-in", InstrumentId::click, 0, false});
  sound.keys.push_back(KeySet().set(high_block).set(low_block));
  sound.performance.tempo = TempoMap(tempo * meter.pulse_length().quarters());
  sound.performance.length = meter.bar_length();
  for (int pulse = 0; pulse < meter.pulses(); ++pulse) {
    const bool first = pulse == 0;
    sound.performance.events.push_back({meter.pulse_length() * pulse, Beats(1, 4),
                                        static_cast<std::uint8_t>(first ? high_block : low_block),
                                        static_cast<std::uint8_t>(first ? 110 : 90), 0});
  }
  plan = plan_bytes(sound);
  return {{"seconds", sound.performance.tempo.seconds_at(meter.bar_length())}};
}

/// What an ear exercise plays: the members of "heard" in page_data.h.
OrderedJson heard_answer(const OrderedJson& request, std::vector<std::uint8_t>& plan) {
  static constexpr double longest_ticks = 400.0 * 4 * task_ticks;
  const double tempo = std::clamp(number_in(request, "tempo", usual_bpm), slowest_bpm, fastest_bpm);
  const auto beats = [](double ticks) {
    return Beats(static_cast<std::int64_t>(std::clamp(ticks, 0.0, longest_ticks)), task_ticks);
  };
  SoundPlan sound;
  sound.loop = false;
  sound.performance.parts.push_back({"piano", InstrumentId::piano, 0, false});
  sound.performance.tempo = TempoMap(tempo);
  sound.performance.length = beats(number_in(request, "length", 0));
  const auto notes = request.find("notes");
  const bool valid = notes != request.end() && notes->is_array() && notes->size() <= 2000 &&
                     std::all_of(notes->begin(), notes->end(), [](const OrderedJson& note) {
                       return note.is_array() && note.size() == 4 &&
                              std::all_of(note.begin(), note.end(), [](const auto& each) { return each.is_number(); });
                     });
  if (!valid || sound.performance.length <= Beats(0)) return {{"error", {{"message", "there is nothing to hear"}}}};
  const auto number_of = [](const OrderedJson& each, double lowest, double highest) {
    return static_cast<std::uint8_t>(std::clamp(each.get<double>(), lowest, highest));
  };
  for (const OrderedJson& note : *notes) {
    sound.performance.events.push_back({beats(note[0].get<double>()), beats(std::max(1.0, note[1].get<double>())),
                                        number_of(note[2], 0, 127), number_of(note[3], 1, 127), 0});
  }
  plan = plan_bytes(sound);
  return {{"seconds", sound.performance.tempo.seconds_at(sound.performance.length)}};
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
  if (!request.is_object()) return R"({"error":{"message":"unknown request"}})";
  const std::string kind = text_in(request, "do");
  OrderedJson json;
  if (kind == "song") json = song_answer(request);
  if (kind == "form") json = bars_.form(request);
  if (kind == "bar") json = bars_.bar(request, plan_);
  if (kind == "paper") json = paper_answer(request);
  if (kind == "tune") json = tune_answer(request);
  if (kind == "level") json = bars_.level(request, plan_);
  if (kind == "clicks") json = clicks_answer(request, plan_);
  if (kind == "heard") json = heard_answer(request, plan_);
  if (kind == "notes") json = notes_answer(request, plan_);
  if (kind == "name") json = name_answer(request);
#ifndef ROMANESCA_PACKET
  if (kind == "exercises") json = lesson_exercises(request);
  if (kind == "library") json = lesson_library();
  if (kind == "recording") json = recording_.answer(request);
#endif
  if (json.is_null()) return R"({"error":{"message":"unknown request"}})";
  return json.dump(-1, ' ', false, OrderedJson::error_handler_t::replace);
}

}  // namespace romanesca
