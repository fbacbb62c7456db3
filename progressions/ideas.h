#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "progressions/level.h"

namespace romanesca {

/// Something to try with a student's song.
struct Idea {
  /// "substitution", "colour", "sevenths", "suspension", "applied dominant", "two-five", "tritone substitute", "passing
  /// chord", "bass", "pedal point", "order", "bridge", "silence", "ending", "turnaround", "step up", "quick change"
  std::string kind;
  int bar = 0;   ///< the first bar of the song that it is about, from 1; 0 for a part that the song does not have yet
  int bars = 0;  ///< how many
  std::vector<Chord> chords;  ///< in order
  std::string progression;    ///< the same as text that can be read and played: "| C | Am A7 | Dm | G |"
  std::string text;           ///< a sentence for a person
};

/// Up to three things to try with a piece, of different kinds and mostly with its own bars, each playable at the level
/// in the piece's key and usual in the song's idiom: no pop bridge for a blues. Which of the possible ones depends on
/// the title and the chords, so that songs get different ones. None for a piece with fewer than two chords.
/// @param title of the song @param style that it names; empty for none
[[nodiscard]] std::vector<Idea> ideas_for(const Analysis& analysis, const Level& level, std::string_view title = {},
                                          std::string_view style = {});

}  // namespace romanesca
