#pragma once

#include <sndfile.h>

#include <algorithm>
#include <cstring>
#include <vector>

#include "tests/measure/note_bank.h"

namespace romanesca::test {

namespace mp3_detail {

/// A file in memory, for libsndfile.
struct MemoryFile {
  std::vector<char> bytes;
  sf_count_t at = 0;
};

inline SF_VIRTUAL_IO in_memory() {
  SF_VIRTUAL_IO io{};
  io.get_filelen = [](void* data) { return static_cast<sf_count_t>(static_cast<MemoryFile*>(data)->bytes.size()); };
  io.seek = [](sf_count_t offset, int whence, void* data) {
    auto& file = *static_cast<MemoryFile*>(data);
    const sf_count_t base = whence == SEEK_SET   ? 0
                            : whence == SEEK_CUR ? file.at
                                                 : static_cast<sf_count_t>(file.bytes.size());
    return file.at = base + offset;
  };
  io.read = [](void* target, sf_count_t count, void* data) {
    auto& file = *static_cast<MemoryFile*>(data);
    count = std::clamp<sf_count_t>(static_cast<sf_count_t>(file.bytes.size()) - file.at, 0, count);
    std::memcpy(target, file.bytes.data() + file.at, static_cast<std::size_t>(count));
    file.at += count;
    return count;
  };
  io.write = [](const void* source, sf_count_t count, void* data) {
    auto& file = *static_cast<MemoryFile*>(data);
    const auto end = static_cast<std::size_t>(file.at + count);
    if (file.bytes.size() < end) file.bytes.resize(end);
    std::memcpy(file.bytes.data() + file.at, source, static_cast<std::size_t>(count));
    file.at += count;
    return count;
  };
  io.tell = [](void* data) { return static_cast<MemoryFile*>(data)->at; };
  return io;
}

}  // namespace mp3_detail

/// The sound as an MP3 file gives it back: one channel at a constant bit rate, which libsndfile chooses by the level.
/// @param compression 0 (largest) to 1 @return an empty sound where libsndfile writes no MP3
inline std::vector<float> as_mp3(const std::vector<float>& sound, double compression) {
  using namespace mp3_detail;
  SF_VIRTUAL_IO io = in_memory();
  MemoryFile file;
  SF_INFO info{};
  info.samplerate = static_cast<int>(hearing_rate_hz);
  info.channels = 1;
  info.format = SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III;
  SNDFILE* const writer = sf_open_virtual(&io, SFM_WRITE, &info, &file);
  if (writer == nullptr) return {};
  int mode = SF_BITRATE_MODE_CONSTANT;
  sf_command(writer, SFC_SET_BITRATE_MODE, &mode, sizeof mode);
  sf_command(writer, SFC_SET_COMPRESSION_LEVEL, &compression, sizeof compression);
  sf_write_float(writer, sound.data(), static_cast<sf_count_t>(sound.size()));
  sf_close(writer);
  file.at = 0;
  info = {};
  SNDFILE* const reader = sf_open_virtual(&io, SFM_READ, &info, &file);
  if (reader == nullptr) return {};
  std::vector<float> copy(sound.size());
  sf_read_float(reader, copy.data(), static_cast<sf_count_t>(copy.size()));
  sf_close(reader);
  return copy;
}

}  // namespace romanesca::test
