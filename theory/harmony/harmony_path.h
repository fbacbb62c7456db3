#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "theory/harmony/chord_palette.h"
#include "theory/harmony/tune_spans.h"

namespace romanesca {

/// How chords are chosen for a tune, in hundredths of a natural logarithm. The numbers come from the sources named
/// and from common practice; about twenty settings were compared by how often chords agreed with those of 471 folk
/// tunes (not part of the project), and no search was made over them.
struct HarmonyWeights {
  /// A pulse of a note outside the chord, sung off the beat. Three to four fifths of a melody's notes belong to its
  /// chord (Temperley, "Music and Probability", 2007; from memory), which makes each of the others a sixth as likely
  /// (180). The cheapest path then changes its chord less often than songs do; with three times as much it does so as
  /// often as the songs of chord_palette.cpp (0.8 a bar).
  int foreign_note = 600;
  int seventh = 200;  ///< the seventh of the dominant, which belongs to the chord and wants to move
  /// Chances of another chord, in per cent. In the songs of chord_palette.cpp they are 64 and 63 on bar lines, 20 and
  /// 18 in the middle of a bar, 7 and 6 on its other beats, which stand here with the middle.
  int change_on_bar = 64, change_in_bar = 25;
  /// For a first and a last chord that are not the tonic, and for a phrase of four bars that ends neither on the tonic
  /// nor on the dominant (common practice, no source; about a third, a fiftieth and a half as likely).
  int other_first = 120, other_last = 400, other_phrase_end = 60;
  /// Taken off for the dominant that goes to the tonic in the last bar of a phrase, which closes it.
  int perfect_cadence = 150;
  /// In minor: for a chord without the raised seventh where that rises to the tonic on a bar line (common practice, no
  /// source); over a chord with it, the tonic held before it costs a third.
  int led_past = 400;
  /// For a chord from outside the key where the tune sings none of its foreign tones.
  int unprompted = 300;
};

struct HarmonyPath {
  std::vector<std::size_t> chords;  ///< for each span, index into the palette
  int cost = 0;                     ///< hundredths of a natural logarithm: less fits better
};

/// The chord that a span should have because the tune sang the same before.
struct TiedChord {
  std::size_t chord = 0;  ///< index into the palette
  int cost = 0;           ///< of another one
};

/// What a path must have beside fitting well.
struct PathDemands {
  PaletteRole counted = PaletteRole::own;         ///< chords of this role must be reached
  int at_least = 0;                               ///< so many times, where that is possible at all; at most 12
  std::vector<std::vector<std::size_t>> avoid{};  ///< for each span the chords to avoid; empty for no such wish
  int avoid_cost = 0;                             ///< what it costs not to avoid it
  std::vector<std::optional<TiedChord>> tied{};   ///< for each span; empty for none
};

/// The chords for the spans that cost least in all, exactly (Viterbi search).
/// @param palette not empty; at most 1000 chords
[[nodiscard]] HarmonyPath harmony_path(const std::vector<TuneSpan>& spans, const std::vector<PaletteChord>& palette,
                                       const Key& key, const HarmonyWeights& weights = {},
                                       const PathDemands& demands = {});

}  // namespace romanesca
