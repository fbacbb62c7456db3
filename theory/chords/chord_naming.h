#pragma once

#include <span>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"

namespace romanesca {

/// A name for sounding notes.
struct ChordName {
  Chord chord;                 ///< spelled for the key; its bass is the lowest note
  bool without_fifth = false;  ///< the notes leave out the chord's fifth
  bool without_root = false;   ///< and here its root
  double cost = 0;             ///< 0 for a triad of the key in root position; what ranks the names
};

/// The names of some notes in a key, the likeliest first: exact chords of chord_types.txt in any inversion,
/// chords without their fifth or root, and chords over a foreign bass.
///
/// A player means the commonest chord (triad before seventh before anything larger), a chord of the key before a
/// foreign one, root position before an inversion, all notes before some (common practice, no source; the costs are
/// in one table in chord_naming.cpp).
/// @param midi note numbers in any order, repeats and octaves allowed; the lowest is the bass.
/// @param most how many names to give at most.
/// @return nothing for fewer than two different notes, or where no name fits.
[[nodiscard]] std::vector<ChordName> name_notes(std::span<const int> midi, const Key& key, std::size_t most = 4);

/// The usual letter for a sounding class in a key: the scale's own, and for the others the lowered second, third, sixth
/// and seventh and the raised fourth; in minor also the raised sixth and seventh.
[[nodiscard]] PitchClass spelled_in(int semitone, const Key& key) noexcept;

/// The chord with the letters that the key uses for its root. Diminished and augmented chords keep theirs: they lead to
/// their neighbours, up or down, which decides their spelling.
[[nodiscard]] Chord respelled(const Chord& chord, const Key& key);

/// How played notes compare with a chord, octaves and doublings apart.
struct ChordMatch {
  std::vector<PitchClass> missing;  ///< tones of the chord that are not there; a perfect fifth only of a triad
  std::vector<PitchClass> foreign;  ///< notes that are there and not in the chord, spelled for the key
  bool bass_fits = true;            ///< the lowest note is the chord's bass
  [[nodiscard]] bool complete() const { return missing.empty() && foreign.empty(); }
};

/// Chords of four and more tones may be played without their perfect fifth, which matters least (common practice, no
/// source); a bass that is not of the chord may be there or not. @param midi any order; none: all is missing
[[nodiscard]] ChordMatch match_chord(std::span<const int> midi, const Chord& chord, const Key& key);

}  // namespace romanesca
