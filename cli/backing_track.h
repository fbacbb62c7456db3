#pragma once

#include <string>
#include <vector>

#include "cli/options.h"
#include "synth/files/midi_file.h"

namespace romanesca {

/// What the user asked the band for.
struct BandRequest {
  std::string style;                    ///< id; empty for the song's own or the usual one of its meter
  double tempo_bpm = 0;                 ///< 0 for the song's own or the style's usual one
  int times = 1;                        ///< how often through, 1 to 200
  int count_in_bars = 0;                ///< 0 to 8
  std::vector<std::string> mute, only;  ///< names of parts
};

/// A song arranged for the band, ready to be sounded or written as MIDI.
struct BackingTrack {
  MidiSong song;
  std::string style;
  double tempo_bpm = 0;  ///< pulses a minute
  Meter meter;
  int bars = 0;  ///< of music, the count-in not counted
};

/// Throws Failure for a style that is not there or is in another meter, a part that is not in it, a number out of
/// range.
[[nodiscard]] BackingTrack arrange_backing(const PlacedProgression& placed, const BandRequest& request);

/// Mutes the parts; keeps only those named, if any are. Throws Failure for a name that is no part.
void choose_parts(Performance& performance, const BandRequest& request);

}  // namespace romanesca
