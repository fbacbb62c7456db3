#pragma once

#include <optional>

#include "synth/hearing/chord_class.h"
#include "theory/chords/chord.h"
#include "theory/chords/key.h"

namespace romanesca {

/// The nearest class that can be heard in a recording: a chord with a ninth or sixth by its triad and seventh. Nothing
/// for chords without third and fourth, and augmented ones.
[[nodiscard]] std::optional<std::size_t> heard_class_of(const Chord& chord);

/// The chord, spelled as the key spells its root. @param chord below no_chord_class
/// @param bass 0 (C) to 11: the tone of the chord that is lowest; another one counts as the root
[[nodiscard]] Chord chord_heard(std::size_t chord, int bass, const Key& key);

}  // namespace romanesca
