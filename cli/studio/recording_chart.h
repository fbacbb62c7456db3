#pragma once

#include <optional>
#include <string>
#include <vector>

#include "synth/hearing/transcription.h"
#include "theory/analysis/analysis.h"
#include "theory/songs/progression.h"
#include "theory/text/errors.h"

namespace romanesca {

/// Below this the reading of a bar is doubtful. A judgement: of pieces with hesitations and wrong keys about a sixth of
/// the bars lie below it, and of the others 99.8 % are right (tests/measure/transcribe_figures.cpp, recorded grand).
inline constexpr double doubtful_below = 0.99;

/// A recording as a chart.
struct RecordingChart {
  Transcription heard;
  Progression song;            ///< absolute chords, in rows of four bars; doubtful ones named in comments
  Analysis analysis;           ///< of the song
  std::vector<bool> doubtful;  ///< for each bar

  [[nodiscard]] int doubtful_bars() const;
};

/// What the user says about the recording.
struct ChartRequest {
  std::string title;
  std::optional<double> tempo_bpm;
  std::optional<Meter> meter;
  std::optional<double> first_line_s;
  std::optional<KeyText> key;
  double tempo_factor = 1;  ///< of what is found without: 2 for bars half as long, 0.5 for bars twice as long
  int shift = 0;            ///< pulses by which every bar line is later than found
};

/// Hears a recording as the request wants it. @param networks as for transcribe_features
[[nodiscard]] Transcription hear_recording(const SoundFeatures& features, const ChartRequest& request,
                                           const BandNetworks* networks = nullptr);

/// Writes what was heard as a song. @param heard with chords
[[nodiscard]] RecordingChart chart_of_transcription(Transcription heard, const ChartRequest& request);

/// Hears the chords of a recording, a piano's or a band's, and writes them as a song. @param sound as read_recording
/// gives it
/// @return wrong_input for a recording in which no chords can be heard, with the reason
[[nodiscard]] Result<RecordingChart> chart_of_recording(const std::vector<float>& sound, const ChartRequest& request);

}  // namespace romanesca
