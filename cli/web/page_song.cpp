#include "cli/web/page_song.h"

#include <algorithm>

#include "theory/songs/header_text.h"
#ifdef ROMANESCA_PACKET
#include "cli/web/page_tune.h"
#include "theory/songs/progression_text.h"
#include "theory/songs/song_tune.h"
#else
#include "theory/songs/song_reading.h"
#endif

namespace romanesca {
namespace {

TextError plain_error(std::string message, std::string hint) {
  TextError error;
  error.message = std::move(message);
  error.hint = std::move(hint);
  return error;
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

#ifdef ROMANESCA_PACKET
/// A packet holds the program's own clean text, its tune beside it.
Parsed<NamedProgression> typed_song(const OrderedJson& request) {
  auto progression = parse_progression(text_in(request, "text"), "song");
  if (!progression) return progression.error();
  if (const auto tune = request.find("tune"); tune != request.end()) put_tune(*progression, read_tune_json(*tune));
  return NamedProgression{std::move(*progression), "song", parse_mode(text_in(request, "mode"))};
}
#else
Parsed<NamedProgression> typed_song(const OrderedJson& request) {
  auto reading = read_song(text_in(request, "text"), "song");
  if (!reading) return reading.error();
  NamedProgression song{std::move(reading->progression), "song", parse_mode(text_in(request, "mode"))};
  song.sections = std::move(reading->sections);
  song.decisions = std::move(reading->decisions);
  song.left_out = std::move(reading->left_out);
  return song;
}
#endif

Parsed<Placement> song_of(const OrderedJson& request) {
  auto typed = typed_song(request);
  if (!typed) return typed.error();
  std::optional<KeyText> key;
  if (const std::string text = text_in(request, "key"); !text.empty()) {
    key = parse_written_key(text);
    if (!key) return plain_error("unknown key \"" + text + "\"", "choose one of the list");
  }
  return place_in_key(std::move(*typed), key);
}

BandRequest band_request(const Placement& song, const OrderedJson& request) {
  BandRequest band;
  const Style* const style = style_named(text_in(request, "style"));
  if (style != nullptr && style->meter == song.progression.meter()) band.style = style->id;
  const double tempo = number_in(request, "tempo", 0);
  if (tempo > 0) band.tempo_bpm = std::clamp(tempo, slowest_bpm, fastest_bpm);
  band.trade_bars = static_cast<int>(std::clamp(number_in(request, "trade", 0), 0.0, 32.0));
  band.seed = static_cast<std::uint32_t>(std::clamp(number_in(request, "seed", 1), 0.0, 4294967295.0));
  band.click = flag_in(request, "click");
  return band;
}

}  // namespace romanesca
