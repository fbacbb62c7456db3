#pragma once

#include <optional>
#include <string>

#include "theory/analysis/analysis.h"
#include "theory/songs/song_reading.h"
#include "theory/text/errors.h"

namespace romanesca {

/// A progression, and what to call it.
struct NamedProgression {
  Progression progression;
  std::string name;               ///< title, library id or file name without ending; "progression" for typed chords
  std::optional<Mode> open_mode;  ///< of numerals whose text names no mode, as in a library pattern; nothing to infer
                                  ///< it from the numerals
  std::vector<SectionReading> sections{};  ///< of a text that was read
  std::vector<SongNote> decisions{};       ///< about the text
  std::vector<SongNote> left_out{};        ///< of the text
  bool key_found = false;                  ///< no key was stated: it was found from what was played
  int bars_before = 0;                     ///< of what was played, before bar 1: empty ones, and the upbeat's
};

/// A progression in the key that was asked for, as absolute chords, with its analysis: numerals and numbers realised in
/// the key, chords transposed to it from their own. Numerals that were written stay as written in the analysis.
struct Placement {
  std::string name;  ///< as in NamedProgression
  Progression progression;
  Key key;
  Analysis analysis;
};

/// @param source its written key says what key absolute chords are in; else that is found, in the mode of @p key where
/// they can be heard in the relative key too.
/// @param key nothing for the progression's own; numerals without one are realised in C
/// @return what is wrong, without a place: a key that cannot be written, a major song asked for in minor or the other
/// way round.
[[nodiscard]] Parsed<Placement> place_in_key(NamedProgression source, const std::optional<KeyText>& key,
                                             MinorDegrees style = MinorDegrees::from_major);

}  // namespace romanesca
