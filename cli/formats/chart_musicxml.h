#pragma once

#include <string>

#include "theory/analysis/placement.h"
#include "theory/tunes/tune.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// The chart as a MusicXML 4.0 score (score-partwise) for a notation program: one part "Piano" on two staves, the notes
/// of chart --json with their fingers, chord symbols above, numerals below, sections as rehearsal marks with a double
/// bar line after each, repeated bars written out; repeat signs round a piece that loops.
///
/// A chord that is held over from the bar before is tied to it. Where the chords' key changes, its name is written
/// before the numeral. A tempo is written only if the song names one; the metronome mark counts the felt beat, the
/// <sound> quarter notes. <divisions> makes every duration whole; it stays the same through the piece unless its splits
/// are so many that it would pass 16383, which MIDI cannot have: then each bar has its own. No stems, beams or page
/// layout: notation programs make their own. An accidental is written out where it is needed.
[[nodiscard]] std::string chart_musicxml(const Placement& placed, const Hands& hands);

/// A lead sheet as MusicXML: the tune on a staff with its words by syllable and the chord symbols, an upbeat as a
/// measure 0 that is implicit, form and tempo as above.
/// @param tune of the piece as placed, as tune_on_paper gives it @param composer empty for none
/// @param with_left the left hand stands on a second staff
[[nodiscard]] std::string lead_sheet_musicxml(const Placement& placed, const Tune& tune, const Hands& hands,
                                              const std::string& composer, bool with_left);

}  // namespace romanesca
