#include "synth/files/audio_file.h"

#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "synth/files/file_error.h"
#include "synth/sound/noise.h"

namespace romanesca {

struct AudioFile::State {
  SNDFILE* file = nullptr;
  int bits = 24;
  Noise noise{20};
  std::vector<int> interleaved;
};

AudioFile::AudioFile(const std::string& path, const AudioFormat& format) : state_(std::make_unique<State>()) {
  SF_INFO info{};
  info.samplerate = static_cast<int>(std::lround(format.sample_rate_hz));
  info.channels = 2;
  const int container = format.ending == "flac" ? SF_FORMAT_FLAC : SF_FORMAT_WAV;
  info.format = container | (format.bits == 16 ? SF_FORMAT_PCM_16 : SF_FORMAT_PCM_24);
  state_->bits = format.bits;
  state_->file = sf_open(path.c_str(), SFM_WRITE, &info);
  if (state_->file == nullptr) throw FileError(sf_strerror(nullptr));
}

AudioFile::~AudioFile() {
  if (state_->file != nullptr) sf_close(state_->file);
}

void AudioFile::write(const StereoBlock& block) {
  // libsndfile takes the upper bits of 32-bit integers.
  const double steps = state_->bits == 16 ? 32768.0 : 8388608.0;
  const int shift = 32 - state_->bits;
  std::vector<int>& out = state_->interleaved;
  out.resize(2 * block.frames);
  const auto quantised = [&](float sample) {
    double value = static_cast<double>(sample) * steps;
    if (state_->bits == 16)
      value += 0.5 * (static_cast<double>(state_->noise.next()) + static_cast<double>(state_->noise.next()));
    const double whole = std::clamp(std::floor(value + 0.5), -steps, steps - 1);
    return static_cast<int>(static_cast<unsigned>(static_cast<int>(whole)) << static_cast<unsigned>(shift));
  };
  for (std::size_t i = 0; i < block.frames; ++i) {
    out[2 * i] = quantised(block.left[i]);
    out[2 * i + 1] = quantised(block.right[i]);
  }
  const auto frames = static_cast<sf_count_t>(block.frames);
  if (sf_writef_int(state_->file, out.data(), frames) != frames) {
    throw FileError("the disk is full or refuses to take more");
  }
}

void AudioFile::close() {
  if (state_->file == nullptr) return;
  sf_write_sync(state_->file);
  const int failed = sf_error(state_->file);
  const int closed = sf_close(state_->file);
  state_->file = nullptr;
  if (failed != 0 || closed != 0) throw FileError(sf_error_number(failed != 0 ? failed : closed));
}

}  // namespace romanesca
