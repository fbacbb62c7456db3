// Any bytes as one word of music: a chord symbol, numeral, number, key, interval, pitch. What can be read is written
// and read again as the same music.
#include <cstdlib>

#include "theory/chords/chord_naming.h"
#include "theory/chords/numeral_text.h"
#include "theory/songs/header_text.h"
#include "theory/songs/symbol_text.h"

using namespace romanesca;

namespace {

void check(bool holds) {
  if (!holds) std::abort();
}

void check_symbol(const Symbol& symbol) {
  const std::string written = to_string(symbol);
  const auto again = parse_symbol(written);
  check(again && to_string(*again) == written);
  if (const auto* numeral = std::get_if<Numeral>(&symbol)) {
    const auto* same = std::get_if<Numeral>(&*again);
    check(same != nullptr);
    for (const Key& key : written_keys()) check(realise(*same, key) == realise(*numeral, key));
  } else {
    const Chord& chord = std::get<Chord>(symbol);
    check(std::get<Chord>(*again) == chord);
    const auto seen = parse_roman(to_string(numeral_of(chord, Key{})));
    check(seen.has_value());
    const Chord back = realise(*seen, Key{});
    check(back.root.sounds_like(chord.root) && back.bass.sounds_like(chord.bass));
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  if (const auto symbol = parse_symbol(text)) check_symbol(*symbol);
  if (size < 24) (void)suggest_symbol(text);
  if (const auto read = parse_key(text)) {
    const Key key{read->tonic, read->mode.value_or(Mode::minor)};
    const auto again = parse_key(to_string(key));
    check(again && Key{again->tonic, again->mode.value_or(Mode::major)} == key);
  }
  (void)parse_written_key(text);
  (void)parse_tempo(text);
  if (const auto pitch = parse_pitch(text)) check(parse_pitch(to_string(*pitch)) == pitch);
  if (const auto interval = parse_interval(text)) check(parse_interval(to_string(*interval)) == interval);
  std::vector<int> midi;
  for (std::size_t i = 0; i < size && i < 12; ++i) midi.push_back(data[i] % 128);
  (void)name_notes(midi, Key{});
  return 0;
}
