#pragma once

#include "theory/chords/key.h"
#include "theory/songs/progression.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// Whether any bar of the song has notes of a tune.
[[nodiscard]] bool has_tune(const Progression& progression);

/// The song's tune as played, with repeats, ties and upbeats written out. The upbeat of a later row sounds in the bar
/// before it and takes the place of what stands there. Empty for a song without one.
/// @param silent_upbeats bars as played, from 1, in order, before which the upbeat of their row is left out
/// @param key as for timeline: where the chords are numerals or numbers, the tune is moved from the written key (C
/// where none is written) to it, the nearest way; a tune among chord symbols stays where it is written
[[nodiscard]] Tune tune_of(const Progression& progression, const Key& key, const std::vector<int>& silent_upbeats = {});

/// Puts a tune as played into the bars of a song that has none, cut and tied at the bar lines; what is behind the last
/// bar is left out.
void put_tune(Progression& progression, const Tune& tune);

/// The signature in which the tune's letters are read and written: none for an open key.
[[nodiscard]] int tune_signature(const std::optional<KeyText>& key);

/// The song with its chords and words alone.
[[nodiscard]] Progression without_tune(Progression progression);

/// The notes moved, each to the nearest octave; what transposing a song does.
void transpose_tune(Progression& progression, Interval by);

}  // namespace romanesca
