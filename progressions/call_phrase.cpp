#include "progressions/call_phrase.h"

#include <algorithm>
#include <cstdlib>

#include "progressions/exercises/material.h"
#include "progressions/exercises/seed_digits.h"

namespace romanesca {
namespace {

constexpr int lowest = 60, usual_highest = 72, wide_highest = 79;

/// A bar's notes in a rhythm that the level can play, the harder ones first to be chosen from.
std::vector<RhythmNote> rhythm_for(const Meter& meter, int level, SeedDigits& variation) {
  std::vector<const ExerciseRhythm*> fitting;
  for (const ExerciseRhythm& rhythm : exercise_rhythms()) {
    if (rhythm.meter == meter && rhythm.level <= level) fitting.push_back(&rhythm);
  }
  if (!fitting.empty()) return fitting[variation.pick(fitting.size())]->notes;
  std::vector<RhythmNote> pulses;
  for (int pulse = 0; pulse < meter.pulses(); ++pulse) {
    pulses.push_back({meter.pulse_length() * pulse, meter.pulse_length()});
  }
  return pulses;
}

const CallChord* chord_at(std::span<const CallChord> chords, Beats place) {
  for (const CallChord& chord : chords) {
    if (chord.start <= place && place < chord.start + chord.length) return &chord;
  }
  return nullptr;
}

std::vector<int> tones_within(const Chord& chord, int highest, bool without_root) {
  std::vector<int> midi;
  for (int note = lowest; note <= highest; ++note) {
    const bool is_root = note % 12 == chord.root.semitone();
    if ((chord.sounding_tones() >> static_cast<unsigned>(note % 12) & 1U) != 0 && !(without_root && is_root)) {
      midi.push_back(note);
    }
  }
  return midi;
}

/// One of the tones nearest to the note before, so that the line moves by small steps.
int next_note(const std::vector<int>& tones, int before, SeedDigits& variation) {
  std::vector<int> sorted = tones;
  std::stable_sort(sorted.begin(), sorted.end(),
                   [&](int a, int b) { return std::abs(a - before) < std::abs(b - before); });
  return sorted[variation.pick(std::min<std::size_t>(sorted.size(), 3))];
}

}  // namespace

std::vector<NoteEvent> call_phrase(std::span<const CallChord> chords, const Meter& meter, int bars, int level,
                                   std::uint32_t seed, std::uint8_t part) {
  SeedDigits variation(seed, SeedDigits::mixed(0xCA11));
  const int highest = level >= 4 ? wide_highest : usual_highest;
  const Beats end = meter.bar_length() * bars;
  const Beats breath = end - meter.pulse_length();
  std::vector<NoteEvent> phrase;
  for (int bar = 0; bar < bars; ++bar) {
    for (const RhythmNote& note : rhythm_for(meter, level, variation)) {
      const Beats start = meter.bar_length() * bar + note.start;
      const CallChord* const chord = chord_at(chords, start);
      if (chord == nullptr || (start >= breath && !phrase.empty())) continue;
      // The last pulse is for breathing, in bars of one pulse half of it.
      const Beats until = std::min(start + note.length, breath > start ? breath : end);
      const int before = phrase.empty() ? (lowest + highest) / 2 : phrase.back().midi;
      const int midi = next_note(tones_within(chord->chord, highest, false), before, variation);
      phrase.push_back({start, until - start, static_cast<std::uint8_t>(midi),
                        static_cast<std::uint8_t>(note.start == Beats(0) ? 92 : 82), part});
    }
  }
  if (phrase.empty()) return phrase;
  NoteEvent& last = phrase.back();
  const CallChord* const chord = chord_at(chords, last.start);
  const std::vector<int> open = tones_within(chord->chord, highest, true);
  const int before = phrase.size() > 1 ? phrase[phrase.size() - 2].midi : last.midi;
  if (!open.empty()) last.midi = static_cast<std::uint8_t>(next_note(open, before, variation));
  return phrase;
}

}  // namespace romanesca
