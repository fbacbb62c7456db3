// Any bytes as a song that somebody typed: whatever can be read has the bars that its sections have, is analysed, and
// is written in the plain form.
#include <cstdint>
#include <cstdlib>
#include <string>

#include "theory/analysis/analysis.h"
#include "theory/songs/progression_writer.h"
#include "theory/songs/song_reading.h"
#include "theory/text/decoding.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size > 4096) return 0;
  const DecodedText decoded = decode_text(std::string(reinterpret_cast<const char*>(data), size));
  const auto read = read_song(decoded.text, "fuzz");
  if (!read) {
    if (read.error().message.empty()) std::abort();
    return 0;
  }
  int bars = 0;
  for (const SectionReading& section : read->sections) bars += section.bars;
  const Timeline played = timeline(read->progression, key_of_numerals(read->progression, std::nullopt));
  if (bars != played.bars) std::abort();
  if (played.chords.size() > 4000) return 0;
  (void)words_by_chord(read->progression);
  (void)analyse(read->progression);
  (void)write_progression(read->progression);
  return 0;
}
