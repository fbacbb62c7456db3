#include "cli/studio/recording_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/studio/heard_chords.h"
#include "theory/songs/doubtful_bars.h"

namespace romanesca {
namespace {

constexpr std::size_t bars_per_row = 4;

/// In words, with what to do.
Failure nothing_heard(TranscriptionOutcome outcome) {
  switch (outcome) {
    case TranscriptionOutcome::too_short:
      return {ExitStatus::wrong_input, "the recording is too short: chords and bars need some seconds",
              "record at least two bars"};
    case TranscriptionOutcome::silent:
      return {ExitStatus::wrong_input, "the recording is silent",
              "check the microphone, and that nothing has muted it"};
    case TranscriptionOutcome::steady:
      return {ExitStatus::wrong_input, "no note begins in the recording: only a steady sound, like hum or noise",
              "put the microphone nearer to the piano"};
    default:
      return {ExitStatus::wrong_input, "no chords can be heard in the recording",
              "this is for a piano that plays chords; put the microphone nearer, away from talking and noise"};
  }
}

/// All bar lines later by as many pulses; bars that this leaves without their beginning stay as they are.
Transcription shifted(Transcription heard, int shift) {
  const int pulses = heard.pulses;
  const int by = ((shift % pulses) + pulses) % pulses;
  if (by == 0 || heard.bars.empty()) return heard;
  std::vector<TranscribedBar> bars(heard.bars.size() + 1);
  for (std::size_t i = 0; i < heard.bars.size(); ++i) {
    const TranscribedBar& bar = heard.bars[i];
    for (const TranscribedChord& chord : bar.chords) {
      const double pulse_s = (chord.end_s - chord.start_s) / std::max(chord.pulses, 1);
      // What lies before the new line belongs to the bar before it.
      const int before = std::clamp(by - chord.pulse, 0, chord.pulses);
      TranscribedChord early = chord;
      early.pulse = chord.pulse - by + pulses;
      early.pulses = before;
      early.end_s = chord.start_s + before * pulse_s;
      TranscribedChord late = chord;
      late.pulse = std::max(chord.pulse - by, 0);
      late.pulses = chord.pulses - before;
      late.start_s = early.end_s;
      if (early.pulses > 0) bars[i].chords.push_back(early);
      if (late.pulses > 0) bars[i + 1].chords.push_back(late);
    }
  }
  std::erase_if(bars, [](const TranscribedBar& bar) { return bar.chords.empty(); });
  for (TranscribedBar& bar : bars) {
    bar.start_s = bar.chords.front().start_s;
    bar.end_s = bar.chords.back().end_s;
    for (const TranscribedChord& chord : bar.chords) bar.sure += chord.sure * (chord.end_s - chord.start_s);
    bar.sure /= std::max(bar.end_s - bar.start_s, 1e-6);
  }
  heard.bars = std::move(bars);
  return heard;
}

/// The same chord twice in a row, and equal chords whose bass is different for a moment, stay as they were heard.
Bar slots_of_bar(const TranscribedBar& heard, int pulses, Meter meter, const Key& key) {
  const auto per_pulse = static_cast<std::size_t>(std::max(1, meter.upper / pulses));
  std::vector<Slot> slots(static_cast<std::size_t>(pulses) * per_pulse, Slot{Hold{}, {}});
  slots.front().content = NoChord{};  // where the recording begins within the bar
  for (const TranscribedChord& chord : heard.chords) {
    Slot& slot = slots[static_cast<std::size_t>(std::clamp(chord.pulse, 0, pulses - 1)) * per_pulse];
    if (chord.chord == no_chord_class) {
      slot.content = NoChord{};
    } else {
      slot.content = chord_heard(chord.chord, chord.bass, key);
    }
  }
  // The fewest slots that say the same: one, two, or each beat.
  for (const std::size_t parts : {std::size_t{1}, std::size_t{2}}) {
    if (slots.size() % parts != 0) continue;
    const std::size_t length = slots.size() / parts;
    bool fits = true;
    for (std::size_t i = 0; i < slots.size(); ++i)
      fits = fits && std::holds_alternative<Hold>(slots[i].content) == (i % length != 0);
    if (!fits) continue;
    Bar bar;
    for (std::size_t i = 0; i < slots.size(); i += length) bar.slots.push_back(slots[i]);
    return bar;
  }
  return {std::move(slots)};
}

Progression song_of(const RecordingChart& chart, const ChartRequest& request, Meter meter, const Key& key) {
  Progression song;
  song.title = request.title;
  song.tempo_bpm = std::clamp(std::round(chart.heard.tempo_bpm), slowest_bpm, fastest_bpm);
  song.written_meter = meter;
  song.key = KeyText{key.tonic, key.mode};
  Section section;
  for (std::size_t first = 0; first < chart.heard.bars.size(); first += bars_per_row) {
    const std::size_t end = std::min(first + bars_per_row, chart.heard.bars.size());
    Row row;
    std::vector<int> doubtful;
    for (std::size_t i = first; i < end; ++i) {
      row.bars.push_back(slots_of_bar(chart.heard.bars[i], chart.heard.pulses, meter, key));
      if (chart.doubtful[i]) doubtful.push_back(static_cast<int>(i) + 1);
    }
    row.comment = doubt_comment(doubtful);
    section.rows.push_back(std::move(row));
  }
  song.sections.push_back(std::move(section));
  return song;
}

}  // namespace

int RecordingChart::doubtful_bars() const {
  return static_cast<int>(std::count(doubtful.begin(), doubtful.end(), true));
}

Transcription hear_recording(const SoundFeatures& features, const ChartRequest& request, const BandNetworks* networks) {
  TranscriptionHints hints;
  hints.tempo_bpm = request.tempo_bpm;
  if (request.meter) hints.pulses = request.meter->pulses();
  hints.first_line_s = request.first_line_s;
  Transcription heard = transcribe_features(features, hints, networks);
  if (heard.outcome == TranscriptionOutcome::chords && request.tempo_factor != 1) {
    hints.tempo_bpm = std::clamp(heard.tempo_bpm * request.tempo_factor, 30.0, 300.0);
    hints.pulses = heard.pulses;
    heard = transcribe_features(features, hints, networks);
  }
  return heard.outcome == TranscriptionOutcome::chords ? shifted(std::move(heard), request.shift) : heard;
}

RecordingChart chart_of_transcription(Transcription heard, const ChartRequest& request) {
  RecordingChart chart;
  chart.heard = std::move(heard);
  for (const TranscribedBar& bar : chart.heard.bars) chart.doubtful.push_back(bar.sure < doubtful_below);
  const Meter meter = request.meter.value_or(Meter{chart.heard.pulses, 4});
  // Keys are found from sounding classes; then the chords are spelled in theirs.
  const Progression plain = song_of(chart, request, meter, Key{});
  const KeyReading keys = find_key(timeline(plain, Key{}), request.key);
  const Key key = request.key ? keys.main.key : simplest_spelling(keys.main.key);
  chart.song = song_of(chart, request, meter, key);
  chart.analysis = analyse(chart.song, KeyText{key.tonic, key.mode});
  chart.analysis.keys.main.confidence = keys.main.confidence;
  return chart;
}

Result<RecordingChart> chart_of_recording(const std::vector<float>& sound, const ChartRequest& request) {
  const BandNetworks networks;
  Transcription heard = hear_recording(features_of_sound(sound), request, &networks);
  if (heard.outcome != TranscriptionOutcome::chords) return nothing_heard(heard.outcome);
  return chart_of_transcription(std::move(heard), request);
}

}  // namespace romanesca
