#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "progressions/exercise.h"

namespace romanesca {

/// What a model melody is to be like.
struct TuneBrief {
  int first_bar = 1, last_bar = 4;       ///< of the timeline
  std::vector<Pitch> notes;              ///< that it may use, rising
  std::vector<RhythmNote> rhythm;        ///< of each bar but the last, which ends on one long note
  std::optional<PitchClass> finish;      ///< its last note; nothing for one of the last chord
  std::vector<RhythmNote> other_rhythm;  ///< of every second bar; empty for the same one
  std::optional<PitchClass> start;       ///< its first note
  /// Which note the middle of the line has, counted round those that do not clash with the chord there.
  std::optional<std::size_t> favourite;
  bool chord_tones_only = false;     ///< no note that its chord does not have
  std::span<const MelodyNote> like;  ///< a melody whose first bar it takes up, from that melody's own beginning
};

/// A melody over chords: notes of the chord on the pulses where the notes have one, mostly steps, no note more than
/// twice in a row, no leap wider than a sixth, and a long last note. Among all that can be built so, the one with the
/// smoothest line and the most even use of its notes (a shortest path), with a preference of its own for each seed.
[[nodiscard]] std::vector<MelodyNote> model_tune(const Timeline& timeline, const TuneBrief& brief, std::uint64_t seed);

/// The notes within about an octave from the first one at or above a MIDI number: to build models on.
[[nodiscard]] std::vector<Pitch> pitches_from(const std::vector<PitchClass>& notes, int lowest, int highest);

}  // namespace romanesca
