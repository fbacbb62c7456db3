#include "synth/arranging/guide.h"

#include <algorithm>
#include <cstdlib>
#include <tuple>

#include "theory/voicing/viterbi_path.h"
#include "theory/voicing/voice_leading.h"

namespace romanesca {
namespace {

constexpr HandRange melody_range{67, 79};

struct Tone {
  int midi;
  int cost;
};

/// Thirds and sevenths identify a chord best, the root least.
int colour_cost(const Chord& chord, PitchClass tone) {
  const int above = ((tone.semitone() - chord.root.semitone()) % 12 + 12) % 12;
  if (above == 3 || above == 4 || above == 10 || above == 11) return 0;
  return above == 0 ? 3 : 1;
}

std::vector<Tone> tones_of(const Chord& chord) {
  std::vector<Tone> tones;
  for (const PitchClass tone : chord.tones()) {
    for (int midi = lowest_at_or_above(tone, melody_range.lowest).midi(); midi <= melody_range.highest; midi += 12) {
      tones.push_back({midi, colour_cost(chord, tone)});
    }
  }
  return tones;
}

std::vector<PlayedNote> melody(const Score& score, std::uint8_t part) {
  std::vector<PlayedNote> events;
  std::vector<std::vector<Tone>> stops;
  for (const ScoreChord& chord : score.chords) {
    const Meter meter = score.bar_at(chord.start).meter;
    const int notes = chord.length >= meter.bar_length() && meter.pulses() > 1 ? 2 : 1;
    // The first of two takes the larger half of the pulses.
    const Beats first = notes == 1 ? chord.length : meter.pulse_length() * ((meter.pulses() + 1) / 2);
    events.push_back({{chord.start, first, 0, 74, part}, chord.start});
    const Beats second = chord.start + first;
    if (notes == 2) events.push_back({{second, chord.length - first, 0, 68, part}, second});
    for (int k = 0; k < notes; ++k) stops.push_back(tones_of(chord.chord));
  }
  const auto picks = viterbi_path(
      stops, [](const Tone& tone) { return tone.cost; },
      [](std::size_t, const Tone& from, const Tone& to) {
        const int step = std::abs(to.midi - from.midi);
        return step == 0 ? 3 : step;
      });
  for (std::size_t i = 0; i < events.size(); ++i)
    events[i].note.midi = static_cast<std::uint8_t>(stops[i][picks[i]].midi);
  return events;
}

std::vector<PlayedNote> held_chords(const Score& score, std::uint8_t part) {
  std::vector<Chord> chords;
  for (const ScoreChord& chord : score.chords) chords.push_back(chord.chord);
  const VoiceLeading led = lead_voices(chords);
  std::vector<PlayedNote> events;
  for (std::size_t i = 0; i < chords.size(); ++i) {
    for (const Pitch& note : led.right[i]) {
      const Beats start = score.chords[i].start;
      events.push_back({{start, score.chords[i].length, static_cast<std::uint8_t>(note.midi()), 64, part}, start});
    }
  }
  return events;
}

}  // namespace

std::optional<Guide> parse_guide(std::string_view text) {
  if (text == "chords") return Guide::chords;
  if (text == "melody") return Guide::melody;
  if (text == "tune") return Guide::tune;
  return std::nullopt;
}

Arrangement with_guide(Arrangement arrangement, const Score& score, Guide guide, Groove groove) {
  const auto part = static_cast<std::uint8_t>(arrangement.parts.size());
  arrangement.parts.push_back(
      {"guide", guide == Guide::chords ? InstrumentId::piano : InstrumentId::lead, guide_db, false});
  groove.human_percent = 0;
  const std::vector<NoteEvent> events =
      with_groove(guide == Guide::chords ? held_chords(score, part) : melody(score, part), groove, score.length());
  arrangement.events.insert(arrangement.events.end(), events.begin(), events.end());
  std::sort(arrangement.events.begin(), arrangement.events.end(), [](const NoteEvent& a, const NoteEvent& b) {
    return std::tie(a.start, a.part, a.midi) < std::tie(b.start, b.part, b.midi);
  });
  return arrangement;
}

}  // namespace romanesca
