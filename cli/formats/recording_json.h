#pragma once

#include <string>

#include "cli/formats/chords_json.h"
#include "cli/studio/chart_match.h"
#include "cli/studio/recording_chart.h"
#include "cli/studio/recording_tune.h"

namespace romanesca {

/// The output of transcribe --json: key, tempo, meter, tuning, bars and beats in seconds; chords as in analyse --json
/// with start, end and confidence; the song's text.
[[nodiscard]] ChordsJson recording_json(const RecordingChart& chart, const std::string& text);

/// The output of transcribe --tune --json: key, tempo, meter, tuning, doubtful bars, the notes in seconds and as MIDI
/// numbers with their pitch as it sounded, and the song's text.
[[nodiscard]] OrderedJson recorded_tune_json(const RecordedTune& tune, const std::string& text);

/// What was heard, for a person: notes, tempo, meter, key, tuning, and the doubtful bars.
[[nodiscard]] std::string recorded_tune_summary(const RecordedTune& tune);

/// What was heard, for a person: tempo, meter, key, tuning, and the doubtful bars.
[[nodiscard]] std::string recording_summary(const RecordingChart& chart);

/// How the heard bars compare with those of a chart.
[[nodiscard]] std::string match_text(const ChartMatch& match);

}  // namespace romanesca
