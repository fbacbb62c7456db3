#pragma once

#include <optional>
#include <vector>

#include "synth/hearing/voice_notes.h"
#include "theory/notes/meter.h"
#include "theory/tunes/quantiser.h"

namespace romanesca {

/// What is known of the beat of a tune that was sung or played without a click.
struct BeatHints {
  std::optional<double> tempo_bpm;     ///< within 12 %; pulses a minute
  std::optional<Meter> meter;          ///< else 4/4, 3/4 or 6/8 is found
  std::optional<double> first_line_s;  ///< where bar 1 begins; notes before it are its upbeat
  double tempo_factor = 1;  ///< of what is found without: 2 for bars half as long, 0.5 for bars twice as long
  int shift = 0;            ///< pulses by which every bar line is later than found
};

/// A tune against the beat that was found.
struct TuneBeat {
  Meter meter;
  double tempo_bpm = 90;        ///< pulses a minute, of the middle beat by length
  std::vector<TakeNote> notes;  ///< from the beginning of the bar that the first note lies in
};

/// Finds the beat, the meter and the bar lines. Beats are followed at several tempi (track_beats) over the beginnings
/// of the notes; a reading costs what it is to write down (quantise), and less at usual tempi and where long notes,
/// tones of the key's tonic triad and the last note stand on the first beat of a bar, and bars have the same rhythm
/// (the rules of Lerdahl & Jackendoff, "A Generative Theory of Tonal Music", 1983, chapter 4, from memory; their
/// weights are set by hand).
/// @param notes at least one
[[nodiscard]] TuneBeat find_tune_beat(const std::vector<VoiceNote>& notes, const BeatHints& hints);

}  // namespace romanesca
