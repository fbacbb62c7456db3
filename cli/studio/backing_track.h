#pragma once

#include <span>
#include <string>
#include <vector>

#include "cli/commands/band_options.h"
#include "cli/options.h"
#include "synth/arranging/song_form.h"
#include "synth/arranging/style.h"
#include "synth/files/midi_file.h"

namespace romanesca {

/// A song arranged for the band, ready to be sounded or written as MIDI.
struct BackingTrack {
  MidiSong song;
  std::string style;
  double tempo_bpm = 0;  ///< pulses a minute
  Meter meter;
  int bars = 0;                  ///< of music, the count-in not counted
  Score score;                   ///< that it was made from, without the count-in
  bool left_to_student = false;  ///< the keys are out because the student plays them
};

/// The key of a time round, from 0, for a piece that goes up a fifth each time.
[[nodiscard]] Key key_of_round(const Key& first, int round);

/// Throws Failure for a style that is not there or is in another meter, a part that is not in it, a number out of
/// range. @param among the styles to choose from
[[nodiscard]] BackingTrack arrange_backing(const PlacedProgression& placed, const BandRequest& request,
                                           std::span<const Style> among = styles());

/// Mutes the parts; keeps only those named, if any are. Throws Failure for a name that is no part.
void choose_parts(Performance& performance, const BandRequest& request);

}  // namespace romanesca
