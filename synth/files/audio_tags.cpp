#include "synth/files/audio_tags.h"

#include <taglib/flacfile.h>
#include <taglib/id3v2framefactory.h>
#include <taglib/mpegfile.h>
#include <taglib/opusfile.h>
#include <taglib/taglib.h>
#include <taglib/tiostream.h>
#include <taglib/tpropertymap.h>
#include <taglib/vorbisfile.h>
#include <taglib/wavfile.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <type_traits>
#include <vector>

#include "synth/files/byte_file.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

/// A finished file for TagLib, whose own stream does not report a full disk.
class TagStream final : public TagLib::IOStream {
 public:
#if TAGLIB_MAJOR_VERSION >= 2
  using Size = size_t;
  using Offset = TagLib::offset_t;
  using Start = TagLib::offset_t;
#else
  using Size = unsigned long;
  using Offset = long;
  using Start = unsigned long;
#endif

  /// Throws SystemError.
  explicit TagStream(const std::string& path) : path_(path), file_(path, ByteFile::Open::existing) {}

  [[nodiscard]] TagLib::FileName name() const override { return path_.c_str(); }
  TagLib::ByteVector readBlock(Size length) override;
  void writeBlock(const TagLib::ByteVector& data) override;
  void insert(const TagLib::ByteVector& data, Start start, Size replace) override;
  void removeBlock(Start start, Size length) override;
  [[nodiscard]] bool readOnly() const override { return false; }
  [[nodiscard]] bool isOpen() const override { return true; }
  void seek(Offset offset, Position from) override;
  [[nodiscard]] Offset tell() const override { return static_cast<Offset>(file_.position()); }
  Offset length() override { return static_cast<Offset>(file_.length()); }
  void truncate(Offset length) override { file_.truncate(length); }

  /// Throws SystemError if any call so far has failed.
  void check() const { file_.check(); }

 private:
  std::string path_;
  ByteFile file_;
};

TagLib::ByteVector TagStream::readBlock(Size length) {
  const std::int64_t left = std::max<std::int64_t>(file_.length() - file_.position(), 0);
  const auto wanted = static_cast<unsigned>(std::min<std::int64_t>(static_cast<std::int64_t>(length), left));
  TagLib::ByteVector data(wanted, 0);
  const std::int64_t got = file_.read(data.data(), wanted);
  data.resize(static_cast<unsigned>(got));
  return data;
}

void TagStream::writeBlock(const TagLib::ByteVector& data) { file_.write(data.data(), data.size()); }

void TagStream::insert(const TagLib::ByteVector& data, Start start, Size replace) {
  const auto from = static_cast<std::int64_t>(start);
  const auto old_size = static_cast<std::int64_t>(replace);
  const auto new_size = static_cast<std::int64_t>(data.size());
  if (old_size != new_size) file_.move_tail(std::min(from + old_size, file_.length()), from + new_size);
  file_.seek(from);
  writeBlock(data);
}

void TagStream::removeBlock(Start start, Size length) {
  const auto from = static_cast<std::int64_t>(start);
  file_.move_tail(std::min(from + static_cast<std::int64_t>(length), file_.length()), from);
}

void TagStream::seek(Offset offset, Position from) {
  const std::int64_t origin = from == Beginning ? 0 : from == Current ? file_.position() : file_.length();
  file_.seek(std::max<std::int64_t>(origin + offset, 0));
}

TagLib::PropertyMap properties_of(const AudioTags& tags) {
  TagLib::PropertyMap map;
  const auto set = [&](const char* name, const std::string& text) {
    if (!text.empty()) map.replace(name, TagLib::StringList(TagLib::String(text, TagLib::String::UTF8)));
  };
  set("TITLE", tags.title);
  set("ARTIST", tags.artist);
  set("COMMENT", tags.comment);
  if (tags.tempo_bpm > 0) set("BPM", std::to_string(std::lround(tags.tempo_bpm)));
  set("INITIALKEY", tags.key);
  return map;
}

/// MPEG and FLAC files of TagLib 1 need an ID3v2 frame factory.
template <typename File>
File opened(TagLib::IOStream* stream) {
  if constexpr (std::is_constructible_v<File, TagLib::IOStream*, TagLib::ID3v2::FrameFactory*, bool>) {
    return File(stream, TagLib::ID3v2::FrameFactory::instance(), false);
  } else {
    return File(stream, false);
  }
}

template <typename File>
void write(const std::string& path, const AudioTags& tags) {
  TagStream stream(path);
  File file = opened<File>(&stream);
  if (!file.isValid()) throw SystemError("the tags cannot be written: the finished file does not open");
  file.setProperties(properties_of(tags));
  const bool saved = file.save();
  stream.check();
  if (!saved) throw SystemError("the tags cannot be written");
}

constexpr std::uint32_t middle_c = 60;

void append_little_endian(std::vector<char>& bytes, std::uint32_t value) {
  for (unsigned shift = 0; shift < 32; shift += 8) bytes.push_back(static_cast<char>(value >> shift & 0xFFU));
}

}  // namespace

void write_tags(const std::string& path, const std::string& ending, const AudioTags& tags) {
  if (tags.empty()) return;
  if (ending == "wav") write<TagLib::RIFF::WAV::File>(path, tags);
  if (ending == "flac") write<TagLib::FLAC::File>(path, tags);
  if (ending == "ogg") write<TagLib::Ogg::Vorbis::File>(path, tags);
  if (ending == "opus") write<TagLib::Ogg::Opus::File>(path, tags);
  if (ending == "mp3") write<TagLib::MPEG::File>(path, tags);
}

void mark_wav_loop(const std::string& path, std::int64_t sample_rate_hz, std::int64_t frames) {
  const auto last_frame = static_cast<std::uint32_t>(frames - 1);  // inclusive
  const std::array<std::uint32_t, 9> head{
      0, 0, static_cast<std::uint32_t>(1'000'000'000 / sample_rate_hz), middle_c, 0, 0, 0, 1, 0};
  const std::array<std::uint32_t, 6> loop{0, 0, 0, last_frame, 0, 0};  // forward, endless
  std::vector<char> chunk{'s', 'm', 'p', 'l'};
  append_little_endian(chunk, 4 * static_cast<std::uint32_t>(head.size() + loop.size()));
  for (const std::uint32_t value : head) append_little_endian(chunk, value);
  for (const std::uint32_t value : loop) append_little_endian(chunk, value);

  std::fstream file(path, std::ios::binary | std::ios::in | std::ios::out);
  file.seekp(0, std::ios::end);
  file.write(chunk.data(), static_cast<std::streamsize>(chunk.size()));
  std::vector<char> riff_size;
  append_little_endian(riff_size, static_cast<std::uint32_t>(static_cast<std::int64_t>(file.tellp()) - 8));
  file.seekp(4);
  file.write(riff_size.data(), 4);
  file.close();
  if (file.fail()) throw SystemError("the disk is full or cannot be written");
}

}  // namespace romanesca
