#include "theory/voicing/four_part_chord.h"

#include <algorithm>
#include <cstdlib>

namespace romanesca {
namespace {

bool is_extension(Interval tone) { return tone.letters() > 6; }

/// How easily a tone is left out: the smaller the later.
int rank(Interval tone, ChordType type, bool highest) {
  const int number = tone.number();
  if (number == 3 || (!type.has_third() && !is_extension(tone) && (number == 2 || number == 4))) return 1;
  if (number == 7 || (number == 6 && !type.has_seventh())) return 2;
  if (highest && is_extension(tone)) return 3;
  if (number == 1) return 4;
  return tone == intervals::perfect_fifth ? 6 : 5;
}

/// The tones that four voices have room for, from the root up.
std::vector<Interval> kept_tones(const Chord& chord, std::size_t places) {
  using namespace intervals;
  const auto all = chord.type.tones();
  std::vector<Interval> tones;
  tones.assign(all.begin(), all.end());
  if (chord.type.has(perfect_fourth) && chord.type.has_seventh() && chord.bass != chord.root + major_third) {
    tones.erase(std::remove(tones.begin(), tones.end(), major_third), tones.end());
  }
  if (tones.size() <= places) return tones;
  const Interval highest = tones.back();
  std::vector<Interval> order = tones;
  const auto rank_of = [&](Interval tone) {
    return (chord.root + tone).sounds_like(chord.bass) ? 0 : rank(tone, chord.type, tone == highest);
  };
  std::stable_sort(order.begin(), order.end(), [&](Interval a, Interval b) { return rank_of(a) < rank_of(b); });
  order.resize(places);
  tones.erase(std::remove_if(tones.begin(), tones.end(),
                             [&](Interval tone) { return std::find(order.begin(), order.end(), tone) == order.end(); }),
              tones.end());
  return tones;
}

bool sounds_in(PitchClass name, const Key& key) { return ((key.sounding_tones() >> name.semitone()) & 1U) != 0; }

/// Whether the tone leads up to the next chord's root from outside the key: the third of an applied dominant, or the
/// root of an applied diminished chord.
bool leads_to_next_root(Interval tone, const Chord& chord, const Key& key, const Chord& next) {
  using namespace intervals;
  if (chord.root + tone + minor_second != next.root) return false;
  if (tone == unison) return chord.type.is_diminished() && !sounds_in(chord.root, key);
  const bool foreign = !sounds_in(chord.root + major_third, key) ||
                       (chord.type.has(minor_seventh) && !sounds_in(chord.root + minor_seventh, key));
  return tone == major_third && foreign;
}

/// V to I, viio to I or V to VI: where the key's leading tone has to rise.
bool resolves(const Chord& chord, const Key& key, const Chord& next) {
  using namespace intervals;
  const bool dominant = chord.root == key.tonic + perfect_fifth;
  const bool seventh_degree = chord.root == key.tonic + major_seventh && chord.type.is_diminished();
  if (next.root == key.tonic) return dominant || seventh_degree;
  return dominant && (next.root == key.tonic + major_sixth || next.root == key.tonic + minor_sixth);
}

/// Small amounts that put the usual doublings first: the root; in a second inversion the bass; in a diminished triad
/// the third. Found by trying examples, no source.
int doubling_cost(Interval tone, const Chord& chord, bool in_key, bool in_bass) {
  const int number = tone.number();
  const bool diminished = chord.type.is_diminished();
  if (number == 1) return diminished ? 8 : chord.bass == chord.root + intervals::perfect_fifth ? 3 : 0;
  const int chromatic = in_key ? 0 : 6;
  if (number == 3) return diminished ? 0 : (in_bass && chord.type.is_minor() ? 1 : 4) + chromatic;
  if (tone == intervals::perfect_fifth) return in_bass ? 0 : 2;
  return (diminished && number == 5 ? 4 : 12) + chromatic;
}

/// Marks the leading tone that has to rise to the next chord.
Tendency find_tendency(const Chord& chord, const Key& key, const Chord& next, std::vector<PartTone>& tones) {
  Tendency tendency;
  tendency.dissonance_falls = !next.root.sounds_like(chord.root);
  const bool resolving = resolves(chord, key, next);
  const bool home = !resolving || next.root == key.tonic;
  for (PartTone& tone : tones) {
    tone.rises = resolving ? tone.name.sounds_like(key.tonic + intervals::major_seventh)
                           : leads_to_next_root(tone.above_root, chord, key, next);
    if (!tone.rises) continue;
    if (home) tendency.inner_fall = 4;
    if (!home && next.root == key.tonic + intervals::major_sixth) tendency.inner_fall = tendency.bass_fall = 2;
  }
  return tendency;
}

std::int64_t cost_within(const PartFaults& faults, const PartVoicing& voicing, const PartChord& chord,
                         const PartRanges& ranges) {
  const auto& midi = voicing.midi;
  int cost = 0;
  std::array<int, 8> sung{};
  for (const std::size_t tone : voicing.tone) ++sung[tone];
  for (std::size_t i = 0; i < chord.tones.size(); ++i) {
    if (sung[i] == 0) cost += 5;
    if (sung[i] > 1) cost += chord.tones[i].doubling_cost * (sung[i] - 1);
    if (sung[i] > 2) cost += 1;
  }
  for (std::size_t v = 0; v < part_count; ++v) {
    // More than a fifth from the middle of the range: sung, but with effort.
    const int off = std::abs(2 * midi[v] - ranges[v].lowest - ranges[v].highest) / 2;
    cost += 2 * std::max(0, off - 7);
    if (v > 0 && midi[v] == midi[v - 1]) cost += 4;
  }
  const int low_gap = midi[1] - midi[0];
  if (low_gap > 19) cost += low_gap - 19;
  if (low_gap < 5 && midi[0] < 48) cost += 3;
  return rule_cost * static_cast<std::int64_t>(faults.size()) + cost;
}

struct Note {
  int midi = 0;
  std::size_t tone = 0;
};

/// What a voice may sing; an octave outside its range where the range has nothing for it.
std::vector<Note> notes_for(std::size_t voice, const PartChord& chord, PartRange range) {
  for (int beyond = 0;; beyond += 12) {
    std::vector<Note> notes;
    for (std::size_t i = 0; i < chord.tones.size(); ++i) {
      if (voice == 0 ? i != chord.bass : chord.tones[i].only_bass) continue;
      int midi = lowest_at_or_above(chord.tones[i].name, range.lowest - beyond).midi();
      for (; midi <= range.highest + beyond; midi += 12) notes.push_back({midi, i});
    }
    if (!notes.empty()) return notes;
  }
}

PartVoicing voicing_of(const std::array<Note, part_count>& notes, const PartChord& chord) {
  PartVoicing voicing;
  for (std::size_t v = 0; v < part_count; ++v) {
    const PartTone& tone = chord.tones[notes[v].tone];
    voicing.midi[v] = static_cast<std::int16_t>(notes[v].midi);
    voicing.tone[v] = static_cast<std::uint8_t>(notes[v].tone);
    voicing.fifths[v] = static_cast<std::int8_t>(tone.name.fifths());
    if (tone.falls) voicing.falling_voices |= static_cast<std::uint8_t>(1U << v);
    if (tone.rises) voicing.rising_voices |= static_cast<std::uint8_t>(1U << v);
  }
  for (std::size_t i = 0; i < voice_pairs.size(); ++i) {
    const auto& pair = voice_pairs[i];
    const int apart = notes[static_cast<std::size_t>(pair[1])].midi - notes[static_cast<std::size_t>(pair[0])].midi;
    // Crossed voices a fourth apart are no fifth: the sign counts.
    if (((apart % 12) + 12) % 12 == 7) voicing.fifth_pairs |= static_cast<std::uint8_t>(1U << i);
    if (apart % 12 == 0) voicing.octave_pairs |= static_cast<std::uint8_t>(1U << i);
  }
  return voicing;
}

}  // namespace

PartChord part_chord(const Chord& chord, const Key& key, const Chord* next) {
  using namespace intervals;
  const std::optional<int> inversion = chord.inversion();
  const bool over_root = chord.bass.sounds_like(chord.root);
  const std::vector<Interval> kept = kept_tones(chord, inversion ? 4 : 3);
  PartChord result;
  for (const Interval above : kept) {
    PartTone tone{chord.root + above, above};
    const bool in_bass = tone.name.sounds_like(chord.bass);
    if (in_bass) result.bass = result.tones.size();
    tone.required = above != perfect_fifth || !over_root || kept.size() < 3;
    // A root with a perfect fifth over it is at rest or a dominant itself, like the B of B7 in C major.
    const bool firm_root = above == unison && chord.type.has(perfect_fifth);
    tone.leading_tone = (tone.name.sounds_like(key.tonic + major_seventh) && !firm_root) ||
                        (next != nullptr && leads_to_next_root(above, chord, key, *next));
    const bool flat_ninth = above.fifths() == minor_second.fifths();
    tone.falls = above == minor_seventh || above == major_seventh || above == diminished_seventh || flat_ninth;
    tone.doubling_cost = doubling_cost(above, chord, sounds_in(tone.name, key), in_bass);
    result.tones.push_back(tone);
  }
  if (!inversion) {
    result.bass = result.tones.size();
    result.tones.push_back({chord.bass, chord.bass - chord.root, true});
  }
  if (next != nullptr) result.tendency = find_tendency(chord, key, *next, result.tones);
  return result;
}

PartFaults faults_within(const PartVoicing& voicing, const PartChord& chord, const PartRanges& ranges) {
  PartFaults faults;
  std::array<int, 8> sung{};
  for (std::size_t v = 0; v < part_count; ++v) {
    const int midi = voicing.midi[v];
    const auto voice = static_cast<std::uint8_t>(v);
    ++sung[voicing.tone[v]];
    if (midi < ranges[v].lowest || midi > ranges[v].highest) faults.push_back({PartRule::range, voice, 0});
    if (v + 1 == part_count) continue;
    const int gap = voicing.midi[v + 1] - midi;
    if (gap < 0) faults.push_back({PartRule::crossing, voice, 0});
    if (v > 0 && gap > 12) faults.push_back({PartRule::spacing, voice, 0});
  }
  for (std::size_t i = 0; i < chord.tones.size(); ++i) {
    const PartTone& tone = chord.tones[i];
    const auto index = static_cast<std::uint8_t>(i);
    if (tone.required && sung[i] == 0) faults.push_back({PartRule::complete, 0, index});
    if (sung[i] > 1 && (tone.leading_tone || tone.falls)) faults.push_back({PartRule::doubling, 0, index});
  }
  return faults;
}

std::vector<PartVoicing> part_voicings(const PartChord& chord, const PartRanges& ranges) {
  std::array<std::vector<Note>, part_count> notes;
  for (std::size_t v = 0; v < part_count; ++v) notes[v] = notes_for(v, chord, ranges[v]);
  std::vector<PartVoicing> voicings;
  std::size_t fewest = PartFaults::capacity();
  for (const Note& bass : notes[0]) {
    for (const Note& tenor : notes[1]) {
      for (const Note& alto : notes[2]) {
        for (const Note& soprano : notes[3]) {
          PartVoicing voicing = voicing_of({bass, tenor, alto, soprano}, chord);
          const PartFaults faults = faults_within(voicing, chord, ranges);
          if (faults.size() > fewest) continue;
          if (faults.size() < fewest) voicings.clear();
          fewest = faults.size();
          voicing.cost = cost_within(faults, voicing, chord, ranges);
          voicings.push_back(voicing);
        }
      }
    }
  }
  return voicings;
}

std::string_view member_name(Interval above_root) {
  switch (above_root.number()) {
    case 1:
      return "root";
    case 3:
      return "third";
    case 5:
      return "fifth";
    case 6:
      return "sixth";
    case 7:
      return "seventh";
    case 4:
    case 11:
      return "fourth";
    case 13:
      return "thirteenth";
    default:
      return "ninth";
  }
}

}  // namespace romanesca
