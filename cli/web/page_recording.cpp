#include "cli/web/page_recording.h"

#include <algorithm>
#include <cmath>

#include "cli/studio/recording_chart.h"
#include "theory/songs/header_text.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

const char* outcome_word(TranscriptionOutcome outcome) {
  switch (outcome) {
    case TranscriptionOutcome::too_short:
      return "too_short";
    case TranscriptionOutcome::silent:
      return "silent";
    case TranscriptionOutcome::steady:
      return "steady";
    default:
      return "no_chords";
  }
}

ChartRequest chart_request(const OrderedJson& request) {
  ChartRequest chart;
  chart.title = text_in(request, "title");
  if (const double tempo = number_in(request, "tempo", 0); tempo > 0) chart.tempo_bpm = std::clamp(tempo, 30.0, 240.0);
  if (const std::string meter = text_in(request, "meter"); !meter.empty()) chart.meter = parse_meter(meter);
  chart.tempo_factor = std::clamp(number_in(request, "factor", 1), 0.5, 2.0);
  chart.shift = static_cast<int>(std::clamp(number_in(request, "shift", 0), -12.0, 12.0));
  return chart;
}

}  // namespace

float* PageRecording::reserve(std::size_t count) {
  features_.reset();
  sound_ = std::vector<float>(count);
  return sound_.data();
}

OrderedJson PageRecording::answer(const OrderedJson& request) {
  if (!features_) {
    for (float& sample : sound_) sample = std::isfinite(sample) ? std::clamp(sample, -16.0f, 16.0f) : 0;
    features_ = features_of_sound(sound_);
    sound_ = {};
  }
  const ChartRequest wanted = chart_request(request);
  Transcription heard = hear_recording(*features_, wanted);
  if (heard.outcome != TranscriptionOutcome::chords || heard.bars.empty())
    return {{"outcome", outcome_word(heard.outcome)}};
  const RecordingChart chart = chart_of_transcription(std::move(heard), wanted);
  OrderedJson doubtful = OrderedJson::array();
  for (std::size_t i = 0; i < chart.doubtful.size(); ++i) {
    if (chart.doubtful[i]) doubtful.push_back(i + 1);
  }
  return {{"text", write_progression(chart.song)},
          {"bars", chart.heard.bars.size()},
          {"tempo", std::round(chart.heard.tempo_bpm)},
          {"meter", to_string(chart.song.meter())},
          {"pulses", chart.heard.pulses},
          {"key", to_string(chart.analysis.keys.main.key)},
          {"cents", std::round(chart.heard.tuning_cents)},
          {"doubtful", std::move(doubtful)}};
}

}  // namespace romanesca
