// Any sound as a recording: as a chart, and as the tune of one voice. Bytes are samples, or notes of a plain sound,
// which gets further. What is written reads back as a song.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <vector>

#include "cli/studio/recording_chart.h"
#include "cli/studio/recording_tune.h"
#include "theory/songs/progression_writer.h"
#include "theory/songs/song_reading.h"

using namespace romanesca;

namespace {

constexpr std::size_t longest = 3 * 22050;

std::vector<float> samples(const std::uint8_t* data, std::size_t size) {
  std::vector<float> sound;
  // Each byte many times, or a fuzzer's short inputs would all be too short.
  const std::size_t times = 1 + data[0] % 64;
  for (std::size_t i = 1; i < size && sound.size() + times < longest; ++i)
    sound.insert(sound.end(), times, static_cast<float>(static_cast<std::int8_t>(data[i])) / 64.0f);
  return sound;
}

/// Four bytes a note: time since the last one, length, pitch, loudness.
std::vector<float> notes(const std::uint8_t* data, std::size_t size) {
  std::vector<float> sound;
  std::size_t at = 2000;
  for (std::size_t i = 0; i + 3 < size; i += 4) {
    at += static_cast<std::size_t>(data[i]) * 100;
    const auto length = static_cast<std::size_t>(data[i + 1]) * 120 + 200;
    if (at + length >= longest) break;
    if (sound.size() < at + length) sound.resize(at + length);
    const double hz = 440 * std::exp2((data[i + 2] / 2.0 - 64) / 12);
    for (std::size_t k = 0; k < length; ++k) {
      const double angle = 2 * M_PI * hz * static_cast<double>(k) / hearing_rate_hz;
      sound[at + k] += static_cast<float>(data[i + 3] / 512.0 * (std::sin(angle) + 0.5 * std::sin(2 * angle)));
    }
  }
  return sound;
}

ChartRequest request_of(const std::uint8_t* data) {
  ChartRequest request;
  if ((data[0] & 1U) != 0) request.tempo_bpm = 30 + data[1] % 211;
  if ((data[0] & 2U) != 0) request.meter = all_meters[data[2] % all_meters.size()];
  if ((data[0] & 4U) != 0) request.first_line_s = data[1] / 20.0;
  if ((data[0] & 8U) != 0) request.tempo_factor = (data[2] & 1U) != 0 ? 0.5 : 2;
  if ((data[0] & 16U) != 0) request.shift = data[2] % 25 - 12;
  return request;
}

void must_read(const Progression& song) {
  if (!read_song(write_progression(song), "again")) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 8) return 0;
  const std::vector<float> sound = (data[0] & 32U) != 0 ? samples(data + 3, size - 3) : notes(data + 3, size - 3);
  const ChartRequest request = request_of(data);
  if (const auto tune = tune_of_recording(sound, request)) must_read(tune->song.progression);
  if (const auto chart = chart_of_recording(sound, request)) must_read(chart->song);
  return 0;
}
