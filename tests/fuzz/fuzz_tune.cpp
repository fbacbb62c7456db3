// Any bytes as a tune: typed or in ABC, in MusicXML, compressed or not, or as notes that were played. What can be read
// is written as text that reads back to the same notes and words.
#include <cstdint>
#include <cstdlib>
#include <string>
#include <vector>

#include "cli/studio/compressed_musicxml.h"
#include "cli/studio/musicxml_reader.h"
#include "theory/harmony/take_to_song.h"
#include "theory/songs/progression_writer.h"
#include "theory/songs/song_reading.h"
#include "theory/songs/song_tune.h"
#include "theory/text/decoding.h"

using namespace romanesca;

namespace {

/// At the end of a line of text a syllable is not held on.
Tune plain(Tune tune) {
  for (TuneNote& note : tune.notes) {
    if (note.end == SyllableEnd::held) note.end = SyllableEnd::word;
    for (Syllable& later : note.later_verses) {
      if (later.end == SyllableEnd::held) later.end = SyllableEnd::word;
    }
  }
  return tune;
}

void check(const SongReading& song) {
  const Tune tune = tune_of(song.progression, {});
  for (std::size_t i = 0; i < tune.notes.size(); ++i) {
    if (tune.notes[i].length <= Beats(0)) std::abort();
    if (i > 0 && tune.notes[i].start < tune.notes[i - 1].start + tune.notes[i - 1].length) std::abort();
  }
  // Endings without sense are played in some order, which their text need not keep.
  if (tune.notes.empty() || song.progression.capo != 0 || song.progression.form) return;
  // A section may have a name that alone could be a chord.
  for (const Section& section : song.progression.sections) {
    if (!section.name.empty()) return;
  }
  const auto again = read_song(write_progression(song.progression), "again");
  if (!again || plain(tune_of(again->progression, {})) != plain(tune)) std::abort();
}

/// Four bytes a note: time since the last one, length, pitch.
void read_take(const std::uint8_t* data, std::size_t size) {
  TakeFacts facts;
  facts.meter = all_meters[data[0] % all_meters.size()];
  std::vector<TakeNote> notes;
  double at = data[1] / 64.0;
  for (std::size_t i = 2; i + 3 < size; i += 4) {
    at += (data[i] + 256 * (data[i + 1] % 4)) / 200.0;
    notes.push_back({at, at + (1 + data[i + 2]) / 100.0, data[i + 3] % 128});
  }
  if (const auto song = song_of_take(std::move(notes), facts)) check(*song);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 3 || size > 4096) return 0;
  const std::string text(reinterpret_cast<const char*>(data + 1), size - 1);
  if (data[0] == 'N') {
    read_take(data + 1, size - 1);
  } else if (data[0] == 'M') {
    if (const auto song = read_musicxml(text, "fuzz")) check(*song);
  } else if (data[0] == 'Z') {
    const auto score = unpack_musicxml(text, "fuzz");
    if (!score) return 0;
    if (const auto song = read_musicxml(*score, "fuzz")) check(*song);
  } else {
    const DecodedText decoded = decode_text(text);
    if (const auto song = read_song(decoded.text, "fuzz")) check(*song);
  }
  return 0;
}
