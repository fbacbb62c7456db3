#pragma once

#include <vector>

#include "cli/studio/recording_chart.h"
#include "cli/studio/tune_meter.h"
#include "theory/songs/song_reading.h"

namespace romanesca {

/// A recording of one voice, sung or played, as a song with a tune.
struct RecordedTune {
  VoiceReading heard;
  TuneBeat beat;
  SongReading song;           ///< without chords, in rows of four bars; doubtful ones named in comments
  std::vector<int> doubtful;  ///< bars, from 1, in which a note is not sure
};

/// Hears the notes of a recording of one voice, finds their beat and bars, and writes them as a tune.
/// @param sound as read_recording gives it
/// @return wrong_input for a recording in which no single voice can be heard, with the reason
[[nodiscard]] Result<RecordedTune> tune_of_recording(const std::vector<float>& sound, const ChartRequest& request);

}  // namespace romanesca
