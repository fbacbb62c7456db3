#include "synth/arranging/bass_notes.h"

#include <initializer_list>

#include "synth/arranging/walking_bass.h"
#include "theory/chords/chord.h"

namespace romanesca {
namespace {

int bass_of(const Chord& chord) { return lowest_at_or_above(chord.bass, bass_roots.lowest).midi(); }

/// The first of these tones, as intervals from the root, that the chord has, above the bass; else @p otherwise.
int above_bass(const Chord& chord, std::initializer_list<Interval> tones, int otherwise) {
  for (const Interval tone : tones) {
    if (chord.type.has(tone)) return bass_of(chord) + ((chord.root + tone) - chord.bass).semitones();
  }
  return otherwise;
}

int fifth_above(const Chord& chord) {
  using namespace intervals;
  return above_bass(chord, {perfect_fifth, diminished_fifth, augmented_fifth}, bass_of(chord));
}

bool has_tone(const Chord& chord, int midi) {
  return (chord.sounding_tones() >> static_cast<unsigned>(midi % 12) & 1U) != 0;
}

/// A semitone or tone below or above the next bass note, on the nearer side; the fifth if the bass stays.
int approach(const Chord& chord, const Chord& next) {
  const int root = bass_of(chord);
  const int goal = bass_of(next);
  if (goal == root) return fifth_above(chord);
  // Of the four neighbours of the goal take a tone of the chord that sounds, else the semitone on the nearer side.
  const int side = goal > root ? -1 : 1;
  for (const int step : {side, 2 * side, -side, -2 * side}) {
    if (goal + step >= bass_roots.lowest && has_tone(chord, goal + step)) return goal + step;
  }
  return goal + side < bass_roots.lowest ? goal + 1 : goal + side;
}

int sixth_above(const Chord& chord) {
  const int sixth = bass_of(chord) + ((chord.root + intervals::major_sixth) - chord.bass).semitones();
  return chord.type.is_minor() ? fifth_above(chord) : sixth;
}

int seventh_above(const Chord& chord) {
  using namespace intervals;
  return above_bass(chord, {minor_seventh, major_seventh, diminished_seventh}, bass_of(chord) + 12);
}

int fifth_below(const Chord& chord) {
  const int below = fifth_above(chord) - 12;
  return below >= bass_roots.lowest ? below : fifth_above(chord);
}

/// @param next the chord that follows
int note_of(char sign, const Chord& chord, const Chord& next) {
  using namespace intervals;
  switch (sign) {
    case '3':
      return above_bass(chord, {major_third, minor_third, perfect_fourth, major_second}, bass_of(chord));
    case '5':
      return fifth_above(chord);
    case '6':
      return sixth_above(chord);
    case '7':
      return seventh_above(chord);
    case '8':
      return bass_of(chord) + 12;
    case 'v':
      return fifth_below(chord);
    case 'A':
      return approach(chord, next);
    default:
      return bass_of(chord);
  }
}

}  // namespace

std::vector<int> bass_notes(std::span<const Stroke> strokes, const Score& score, std::uint32_t seed) {
  std::vector<int> notes(strokes.size());
  bool walks = false;
  for (std::size_t i = 0; i < strokes.size(); ++i) {
    const std::size_t chord = strokes[i].chord;
    const std::size_t next = (chord + 1) % score.chords.size();
    const bool again = strokes[i].sign == '=' && i > 0 && strokes[i - 1].chord == chord;
    notes[i] = again ? notes[i - 1] : note_of(strokes[i].sign, score.chords[chord].chord, score.chords[next].chord);
    walks = walks || strokes[i].sign == 'W';
  }
  if (walks) walk(strokes, score, seed, notes);
  return notes;
}

}  // namespace romanesca
