#include "progressions/exercises/closing.h"

#include <algorithm>

#include "progressions/exercises/loop.h"

namespace romanesca {

std::string_view close_name(CadenceKind kind, CadenceTerms terms) { return cadence_term(kind, terms); }

std::string_view close_meaning(CadenceKind kind) {
  switch (kind) {
    case CadenceKind::authentic:
      return "the fifth chord goes home and all is said";
    case CadenceKind::plagal:
      return "the fourth chord goes home, gently";
    case CadenceKind::deceptive:
      return "the ear waits for home and is surprised";
    case CadenceKind::half:
      break;
  }
  return "it stops on the fifth chord and waits";
}

std::optional<CadenceKind> ending_of(const std::vector<Chord>& chords, const Key& key) {
  std::vector<std::vector<Chord>> bars;
  for (const Chord& chord : chords) bars.push_back({chord});
  const Timeline line = timeline(progression_of(bars, key), key);
  std::optional<CadenceKind> ending;
  for (const Cadence& cadence : find_cadences(line, std::vector<Key>(bars.size(), key))) {
    if (cadence.bar == line.bars) ending = cadence.kind;
  }
  return ending;
}

bool sound_alike(const Chord& a, const Chord& b) {
  return a.root.sounds_like(b.root) && a.bass.sounds_like(b.bass) && a.sounding_tones() == b.sounding_tones();
}

bool holds(const Chord& chord, PitchClass note) {
  return (chord.sounding_tones() & (1U << static_cast<unsigned>(note.semitone()))) != 0;
}

bool clashes(const Chord& chord, PitchClass note) {
  if (holds(chord, note)) return false;
  const auto tones = chord.tones();
  return std::any_of(tones.begin(), tones.end(), [&](PitchClass tone) {
    return (note.semitone() - tone.semitone() + 12) % 12 == 1 || note.letter() == tone.letter();
  });
}

int bass_steps(const std::vector<Chord>& chords) {
  int steps = 0;
  for (std::size_t i = 1; i < chords.size(); ++i) {
    const int up = (chords[i].bass.semitone() - chords[i - 1].bass.semitone() + 12) % 12;
    if (up == 1 || up == 2 || up == 10 || up == 11) ++steps;
  }
  return steps;
}

}  // namespace romanesca
