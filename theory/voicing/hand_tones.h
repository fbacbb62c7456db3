#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"
#include "theory/notes/pitch.h"

namespace romanesca {

/// How two hands lay a chord out.
enum class VoicingKind {
  close,          ///< the right hand's tones next to each other, any inversion, over the left hand's bass
  root_position,  ///< the same with the root lowest
  open,           ///< drop 2 or 3: a close position with its second or third highest tone an octave lower, as the bass
  shell,          ///< root, third and seventh: the left hand has the root; a triad has its fifth for the seventh
  rootless,       ///< the left hand alone: 3-5-7-9 or 7-9-3-5; somebody else plays the root
  two_hand,       ///< root and seventh, or root and third, in the left hand; the rest in the right
  four_part,      ///< soprano and alto of four_part.h, tenor and bass in the left hand
};
inline constexpr std::array all_voicing_kinds{VoicingKind::close,    VoicingKind::root_position, VoicingKind::open,
                                              VoicingKind::shell,    VoicingKind::rootless,      VoicingKind::two_hand,
                                              VoicingKind::four_part};
[[nodiscard]] std::string_view to_string(VoicingKind kind);

// Which tones hands play of a chord that has more than they hold: "third" stands for the tone of a suspension too, and
// "seventh" for the sixth of a sixth chord (common practice of jazz teaching, no source).

/// The third, or what replaces it: in an eleventh chord the eleventh replaces a major third. Nothing for a power chord.
[[nodiscard]] std::optional<Interval> third_of(const Chord& chord);
/// The seventh, else the sixth; nothing for a triad.
[[nodiscard]] std::optional<Interval> seventh_of(const Chord& chord);

/// The tones of the chord in the order in which players give them up, the one least missed first: a fifth that rubs
/// against an altered tone; of five tones and more the root, where the bass has it; the fifth; extensions below others;
/// the root; the highest extension; altered tones; the seventh; the third.
/// @param keeps_root the bass does not have the root, or it has to be the lowest tone
[[nodiscard]] std::vector<Interval> order_of_omission(const Chord& chord, bool keeps_root);

/// The tones of a chord for one hand or for a part of the band, from the root up, four at most: of a chord with a
/// seventh or more, third and seventh always, and the alteration or highest extension that names it. An eleventh
/// replaces a major third. Of five tones and more the root is left to the bass, unless the bass is another tone.
/// @param kind root_position: with the root; shell: third and seventh; rootless: without the root; others as close
[[nodiscard]] std::vector<PitchClass> right_hand_tones(const Chord& chord, VoicingKind kind = VoicingKind::close);

/// The tones of a rootless shape, from the root up: third, fifth, seventh and ninth; what the chord names (an altered
/// fifth, a thirteenth, an eleventh) takes the place of the fifth. A ninth that the chord leaves open is that of the
/// key: the major one, or under a dominant the minor one; else the root itself is played (Levine, "The Jazz Piano
/// Book", 1989, on left-hand voicings; from memory). A triad keeps its root: without it it would be another chord.
[[nodiscard]] std::vector<PitchClass> rootless_tones(const Chord& chord, const Key& key);

/// "7", "b9", "#11", "13": a note as a degree of its chord. The third, fifth of a triad or seventh chord and seventh
/// have no accidental but for an altered fifth.
[[nodiscard]] std::string degree_name(const Chord& chord, PitchClass note);

}  // namespace romanesca
