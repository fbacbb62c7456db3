#include "synth/files/audio_file.h"

#include <sndfile.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <optional>
#include <vector>

#include "synth/files/audio_tags.h"
#include "synth/files/byte_file.h"
#include "synth/files/ogg_serial.h"
#include "synth/sound/noise.h"
#include "synth/sound/sample_block.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

constexpr std::array<std::string_view, 5> endings{"wav", "flac", "ogg", "opus", "mp3"};

enum class SampleType { integer, floating };

/// libsndfile's format for a file name ending.
struct Container {
  int format = 0;
  SampleType samples = SampleType::floating;
  double compression = 0;  ///< 0 best, 1 smallest
};

Container container_of(const AudioFormat& format) {
  const int pcm = format.bits == 16 ? SF_FORMAT_PCM_16 : SF_FORMAT_PCM_24;
  if (format.ending == "wav") return {SF_FORMAT_WAV | pcm, SampleType::integer, 0};
  if (format.ending == "flac") return {SF_FORMAT_FLAC | pcm, SampleType::integer, 0.6};
  if (format.ending == "ogg") return {SF_FORMAT_OGG | SF_FORMAT_VORBIS, SampleType::floating, 0.4};
  if (format.ending == "opus") return {SF_FORMAT_OGG | SF_FORMAT_OPUS, SampleType::floating, 0.3};
  if (format.ending == "mp3") return {SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III, SampleType::floating, 0.2};
  throw SystemError("unknown audio format \"" + format.ending + "\"");
}

void check_rate(const AudioFormat& format) {
  const auto rate = static_cast<int>(std::lround(format.sample_rate_hz));
  constexpr std::array<int, 5> of_opus{8000, 12000, 16000, 24000, 48000};
  if (format.ending == "opus" && std::find(of_opus.begin(), of_opus.end(), rate) == of_opus.end())
    throw SystemError("an Opus file needs a sample rate of 48000 Hz");
  if (format.ending == "mp3" && rate > 48000) throw SystemError("an MP3 file needs a sample rate of at most 48000 Hz");
}

/// Rounded to 24 bits, in the upper bits of 32, as libsndfile expects. The offset makes all values positive, so that
/// truncation rounds down.
ROMANESCA_VECTOR_CLONES
void quantise_24(const float* __restrict left, const float* __restrict right, std::size_t frames,
                 int* __restrict interleaved) {
  constexpr double steps = 8388608.0;
  for (std::size_t i = 0; i < frames; ++i) {
    const double l = static_cast<double>(left[i]) * steps + (steps + 0.5);
    const double r = static_cast<double>(right[i]) * steps + (steps + 0.5);
    const double l_held = l < 0 ? 0 : (l > 2 * steps - 0.5 ? 2 * steps - 0.5 : l);
    const double r_held = r < 0 ? 0 : (r > 2 * steps - 0.5 ? 2 * steps - 0.5 : r);
    interleaved[2 * i] = (static_cast<int>(l_held) - 8388608) * 256;
    interleaved[2 * i + 1] = (static_cast<int>(r_held) - 8388608) * 256;
  }
}

int quantised_16(float sample, Noise& noise) {
  constexpr double steps = 32768.0;
  const double dither = 0.5 * (static_cast<double>(noise.next()) + static_cast<double>(noise.next()));
  const double whole = std::floor(static_cast<double>(sample) * steps + dither + 0.5);
  return static_cast<int>(std::clamp(whole, -steps, steps - 1)) * 65536;
}

ByteFile& file_of(void* user) { return *static_cast<ByteFile*>(user); }

/// libsndfile writes through this, since it does not report every write error itself: none at all for MP3 files.
SF_VIRTUAL_IO byte_file_io() {
  SF_VIRTUAL_IO calls{};
  calls.get_filelen = [](void* user) -> sf_count_t { return file_of(user).length(); };
  calls.seek = [](sf_count_t offset, int whence, void* user) -> sf_count_t {
    ByteFile& file = file_of(user);
    file.seek(offset + (whence == SEEK_SET ? 0 : whence == SEEK_CUR ? file.position() : file.length()));
    return file.position();
  };
  calls.read = [](void* to, sf_count_t size, void* user) -> sf_count_t { return file_of(user).read(to, size); };
  calls.write = [](const void* from, sf_count_t size, void* user) -> sf_count_t {
    return file_of(user).write(from, size);
  };
  calls.tell = [](void* user) -> sf_count_t { return file_of(user).position(); };
  return calls;
}

}  // namespace

struct AudioFile::State {
  std::optional<ByteFile> bytes;  ///< none for a device or a pipe
  SNDFILE* file = nullptr;
  std::string path;
  AudioFormat format;
  Container container;
  std::int64_t frames = 0;
  Noise noise{20};
  std::vector<int> integers;
  std::vector<float> floating;
};

std::span<const std::string_view> audio_endings() noexcept { return endings; }

AudioFile::AudioFile(const std::string& path, const AudioFormat& format) : state_(std::make_unique<State>()) {
  state_->path = path;
  state_->format = format;
  state_->container = container_of(format);
  check_rate(format);
  SF_INFO info{};
  info.samplerate = static_cast<int>(std::lround(format.sample_rate_hz));
  info.channels = 2;
  info.format = state_->container.format;
  std::error_code error;
  errno = 0;
  if (std::filesystem::exists(path, error) && !std::filesystem::is_regular_file(path, error)) {
    state_->file = sf_open(path.c_str(), SFM_WRITE, &info);
  } else {
    SF_VIRTUAL_IO calls = byte_file_io();
    state_->bytes.emplace(path, ByteFile::Open::create);
    state_->file = sf_open_virtual(&calls, SFM_WRITE, &info, &*state_->bytes);
    state_->bytes->check();
  }
  if (state_->file == nullptr) throw SystemError("the file cannot be created", errno);
  double compression = state_->container.compression;
  sf_command(state_->file, SFC_SET_COMPRESSION_LEVEL, &compression, sizeof compression);
}

AudioFile::~AudioFile() {
  if (state_->file != nullptr) sf_close(state_->file);
}

void AudioFile::write(const StereoBlock& block) {
  State& state = *state_;
  const auto frames = static_cast<sf_count_t>(block.frames);
  sf_count_t written = 0;
  if (state.container.samples == SampleType::integer) {
    state.integers.resize(2 * block.frames);
    if (state.format.bits == 16) {
      for (std::size_t i = 0; i < block.frames; ++i) {
        state.integers[2 * i] = quantised_16(block.left[i], state.noise);
        state.integers[2 * i + 1] = quantised_16(block.right[i], state.noise);
      }
    } else {
      quantise_24(block.left, block.right, block.frames, state.integers.data());
    }
    written = sf_writef_int(state.file, state.integers.data(), frames);
  } else {
    state.floating.resize(2 * block.frames);
    for (std::size_t i = 0; i < block.frames; ++i) {
      state.floating[2 * i] = block.left[i];
      state.floating[2 * i + 1] = block.right[i];
    }
    written = sf_writef_float(state.file, state.floating.data(), frames);
  }
  if (state.bytes) state.bytes->check();
  if (written != frames) throw SystemError("the disk is full or cannot be written", errno);
  state.frames += frames;
}

void AudioFile::close() {
  State& state = *state_;
  if (state.file == nullptr) return;
  errno = 0;
  const int failed = sf_error(state.file);
  const int closed = sf_close(state.file);
  state.file = nullptr;
  if (state.bytes) state.bytes->check();
  state.bytes.reset();
  if (failed != 0 || closed != 0) throw SystemError("the file cannot be finished", errno);
  std::error_code error;
  if (!std::filesystem::is_regular_file(state.path, error)) return;  // tags cannot be added to a device or a pipe
  if (state.format.loop && state.format.ending == "wav" && state.frames > 0)
    mark_wav_loop(state.path, std::lround(state.format.sample_rate_hz), state.frames);
  write_tags(state.path, state.format.ending, state.format.tags);
  if (state.format.ending == "ogg" || state.format.ending == "opus") fix_ogg_serial(state.path);
}

}  // namespace romanesca
