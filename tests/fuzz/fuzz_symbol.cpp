// Any bytes as one word of music: a chord symbol, numeral, number, key, interval, pitch. What can be read is written
// and read again.
#include <cstdlib>

#include "theory/chord_naming.h"
#include "theory/header_text.h"
#include "theory/numeral_text.h"
#include "theory/symbol_text.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  if (const auto symbol = parse_symbol(text)) {
    const std::string written = to_string(*symbol);
    const auto again = parse_symbol(written);
    if (!again || to_string(*again) != written) std::abort();
    if (const auto* numeral = std::get_if<Numeral>(&*symbol)) {
      for (const Key& key : written_keys()) (void)to_string(realise(*numeral, key));
    } else {
      (void)to_string(numeral_of(std::get<Chord>(*symbol), Key{}));
    }
  }
  if (size < 24) (void)suggest_symbol(text);
  if (const auto key = parse_key(text)) (void)to_string(Key{key->tonic, key->mode.value_or(Mode::minor)});
  (void)parse_written_key(text);
  (void)parse_tempo(text);
  (void)parse_pitch(text);
  if (const auto interval = parse_interval(text)) (void)to_string(*interval);
  std::vector<int> midi;
  for (std::size_t i = 0; i < size && i < 12; ++i) midi.push_back(data[i] % 128);
  (void)name_notes(midi, Key{});
  return 0;
}
