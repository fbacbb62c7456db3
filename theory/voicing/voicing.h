#pragma once

#include <vector>

#include "theory/chords/chord.h"
#include "theory/notes/pitch.h"
#include "theory/voicing/hand_tones.h"

namespace romanesca {

/// A hand's notes from low to high, spelled as in the chord.
using Voicing = std::vector<Pitch>;

/// Where a hand plays: MIDI numbers its notes lie between, ends included.
struct HandRange {
  int lowest = 55;   ///< G3
  int highest = 79;  ///< G5
};
inline constexpr HandRange right_hand{55, 79};
inline constexpr HandRange left_hand{40, 52};  ///< E2 to E3: a bass note clear of the right hand
/// The 88 keys of a piano.
inline constexpr HandRange piano_keys{21, 108};
/// The default of the widest stretch of a hand, in semitones: an octave.
inline constexpr int usual_span = 12;
/// The narrowest and the widest stretch that can be asked for.
inline constexpr int narrowest_span = 5;
inline constexpr int widest_span = 16;

/// What a right hand may play over a bass.
struct VoicingRules {
  /// close, root_position, open (drop 2), shell, or rootless for tones without the root; the others lay out both hands
  VoicingKind kind = VoicingKind::close;
  HandRange range = right_hand;
  int span = usual_span;   ///< widest stretch in semitones, 5 to 16
  int most_inversion = 3;  ///< highest inversion of close positions: 0 the root lowest, 3 any
  /// The left hand plays the bass note twice: of four tones the right leaves that one out.
  bool bass_doubled = false;
  /// MIDI number below which notes are not taken if there is another way: the left hand plays there. 0 for no such.
  int left_hand_below = 0;
};

/// All close positions of these tones within the range, lowest first: every inversion in every octave that fits. For a
/// range of two octaves there is always one.
[[nodiscard]] std::vector<Voicing> close_positions(const std::vector<PitchClass>& tones, HandRange range = right_hand);

/// Everything the rules allow for a chord and a hand has fingers for; never empty. Where nothing fits the hand tones
/// are left out (order_of_omission). A chord whose lowest inversions do not fit the range has the next ones. Of more
/// than two notes the lowest two are a semitone apart only where there is no other way: it sounds muddy (common
/// practice, no source).
[[nodiscard]] std::vector<Voicing> voicings(const Chord& chord, const VoicingRules& rules);

/// Which of the chord's tones is lowest in the voicing: 0 root position, 1 third, 2 fifth, 3 seventh; -1 for another
/// tone.
[[nodiscard]] int inversion_of(const Voicing& voicing, const Chord& chord);

}  // namespace romanesca
