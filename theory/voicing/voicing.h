#pragma once

#include <array>
#include <string_view>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/notes/pitch.h"

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

/// How the right hand lays a chord out over the left hand's bass (common practice, no source).
enum class VoicingKind {
  close,          ///< the tones next to each other, any inversion
  root_position,  ///< the same with the root lowest
  open,           ///< a close position with its second highest tone an octave lower, which the left hand takes
  shell,          ///< third and seventh; third and root where there is no seventh
  rootless,       ///< the tones without the root, which the bass has
  four_part,      ///< soprano and alto of four_part.h, tenor and bass in the left hand; no VoicingRules apply
};
inline constexpr std::array all_voicing_kinds{VoicingKind::close, VoicingKind::root_position, VoicingKind::open,
                                              VoicingKind::shell, VoicingKind::rootless,      VoicingKind::four_part};
[[nodiscard]] std::string_view to_string(VoicingKind kind);

/// What a right hand may play.
struct VoicingRules {
  VoicingKind kind = VoicingKind::close;
  HandRange range = right_hand;
  int span = usual_span;   ///< widest stretch in semitones, 5 to 16
  int most_inversion = 3;  ///< highest inversion of close positions: 0 the root lowest, 3 any
};

/// The tones the right hand plays while the left has the bass: three of a triad, four of a seventh chord; of larger
/// chords four, leaving out the fifth first, then the root, then inner extensions (common practice, no source). An
/// eleventh over a major third replaces it. Shell and rootless leave out tones as their names say. From the root
/// up.
[[nodiscard]] std::vector<PitchClass> right_hand_tones(const Chord& chord, VoicingKind kind = VoicingKind::close);

/// All close positions of these tones within the range, lowest first: every inversion in every octave that fits. For a
/// range of two octaves there is always one.
[[nodiscard]] std::vector<Voicing> close_positions(const std::vector<PitchClass>& tones, HandRange range = right_hand);

/// Everything the rules allow for a chord and a hand has fingers for; never empty. Where nothing fits the hand the
/// fifth is left out, then the root, then tones from the top. A chord whose lowest inversions do not fit the range has
/// the next ones.
[[nodiscard]] std::vector<Voicing> voicings(const Chord& chord, const VoicingRules& rules);

/// Which of the chord's tones is lowest in the voicing: 0 root position, 1 third, 2 fifth, 3 seventh; -1 for another
/// tone.
[[nodiscard]] int inversion_of(const Voicing& voicing, const Chord& chord);

}  // namespace romanesca
