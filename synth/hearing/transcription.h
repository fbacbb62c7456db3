#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "synth/hearing/beat_network.h"
#include "synth/hearing/chord_class.h"
#include "synth/hearing/chord_features.h"
#include "synth/hearing/chord_network.h"
#include "synth/hearing/onset_strength.h"

namespace romanesca {

/// What helps to hear a whole band.
struct BandNetworks {
  ChordNetwork chords;
  BeatNetwork beats;
};

/// What is known about a recording beside its sound.
struct TranscriptionHints {
  std::optional<double> tempo_bpm;     ///< within 12 %, 40 to 220; pulses a minute
  std::optional<int> pulses;           ///< in a bar, 2 to 5; else 4, 3 or 2 are found
  std::optional<double> first_line_s;  ///< where the first bar begins; what comes before is left out
};

/// A chord in its bar.
struct TranscribedChord {
  int pulse = 0;  ///< from 0
  int pulses = 1;
  std::size_t chord = no_chord_class;
  int bass = 0;  ///< 0 (C) to 11: the root, or another tone that was lowest on two beats; meaningless without a chord
  double start_s = 0, end_s = 0;
  double sure = 0;  ///< that root and third are right, 0 to 1
};

/// A bar of the recording. Its chords fill it.
struct TranscribedBar {
  double start_s = 0, end_s = 0;
  std::vector<TranscribedChord> chords;
  double sure = 0;  ///< mean over its time, 0 to 1
};

enum class TranscriptionOutcome {
  chords,
  too_short,  ///< less than two bars' time
  silent,     ///< nothing above -60 dB re full scale
  steady,     ///< sound without beginnings: hum or noise
  no_chords   ///< sounds, but hardly anything with pitch
};

/// A recording as bars and chords.
struct Transcription {
  TranscriptionOutcome outcome = TranscriptionOutcome::chords;
  std::vector<TranscribedBar> bars;  ///< from the first with a chord to the last; empty unless chords were heard
  std::vector<double> beats_s;       ///< all that were found
  double tempo_bpm = 0;              ///< pulses a minute: of the middle beat by length
  int pulses = 4;                    ///< in a bar
  int tonic = 0;                     ///< of the key held longest, 0 (C) to 11
  double tuning_cents = 0;           ///< of the instrument, above 440 Hz
};

/// What is looked at in a recording, whatever is known about it: a quarter of its samples' memory, and most of the
/// time.
struct SoundFeatures {
  /// chords if they can be looked for, else too_short, silent or steady
  TranscriptionOutcome outcome = TranscriptionOutcome::chords;
  double length_s = 0;
  OnsetStrength onsets;
  PitchFrames frames;
};

/// @param sound one channel at hearing_rate_hz, full scale 1
[[nodiscard]] SoundFeatures features_of_sound(std::span<const float> sound);

/// Finds beats, bars and chords of a solo piano, or of a band where networks help. Tempo, the half of the beat, the
/// meter, bar lines and chords are chosen together: each hypothesis is scored by the best reading of its chords.
/// @param networks null for what is known of pianos alone
[[nodiscard]] Transcription transcribe_features(const SoundFeatures& features, const TranscriptionHints& hints = {},
                                                const BandNetworks* networks = nullptr);

/// The same from the sound itself. @param sound one channel at hearing_rate_hz, full scale 1
[[nodiscard]] Transcription transcribe_chords(std::span<const float> sound, const TranscriptionHints& hints = {},
                                              const BandNetworks* networks = nullptr);

}  // namespace romanesca
