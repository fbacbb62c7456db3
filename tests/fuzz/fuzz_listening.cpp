// Any bytes as a student's playing: a keyboard, its pedal and the chords asked for, in time.
#include <cstdint>

#include "synth/live/midi_keyboard.h"
#include "theory/listening/chord_listener.h"
#include "theory/listening/line_listener.h"
#include "theory/listening/playing_report.h"
#include "theory/songs/progression_text.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const Timeline line =
      timeline(*parse_progression("Cmaj7 Am7 Dm7/F G13 | N.C. | Ebdim7 E7#9 Asus4", "fuzz"), {});
  ChordListener chords{Key{}};
  LineListener notes{Key{}};
  MidiMessageReader reader;
  double now = 0;
  std::size_t asked = 0;
  for (std::size_t i = 0; i + 1 < size; i += 2) {
    now += data[i];
    if (data[i] % 16 == 0) {
      const auto& chord = line.chords[asked++ % line.chords.size()].chord;
      if (chord) chords.ask({*chord, static_cast<int>(asked), now, 200});
      notes.beat(now, chord, static_cast<int>(asked));
    }
    reader.read(&data[i + 1], 1, [&](const MidiHeard& heard) {
      const int kind = heard.status & 0xF0;
      if (kind == 0x90 && heard.second > 0) chords.key_down(heard.first, now), notes.key_down(heard.first, now);
      if (kind == 0x80) chords.key_up(heard.first, now), notes.key_up(heard.first, now);
      if (kind == 0xB0 && heard.first == 64) chords.pedal(heard.second, now);
    });
    if (data[i] % 8 == 1) chords.pass(now), notes.pass(now);
  }
  chords.stop(now);
  notes.pass(now + 10'000);
  if (chords.heard().size() > asked) std::abort();
  (void)report_on(chords.heard()).sentences();
  (void)notes.report();
  return 0;
}
