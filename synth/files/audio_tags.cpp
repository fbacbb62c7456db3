#include "synth/files/audio_tags.h"

#include <taglib/flacfile.h>
#include <taglib/id3v2framefactory.h>
#include <taglib/mpegfile.h>
#include <taglib/opusfile.h>
#include <taglib/tpropertymap.h>
#include <taglib/vorbisfile.h>
#include <taglib/wavfile.h>

#include <cmath>
#include <type_traits>

#include "synth/files/tag_stream.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

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

/// MPEG and FLAC of TagLib 1 ask for a maker of ID3v2 frames first.
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
  if (!file.isValid()) throw SystemError("the finished file cannot be opened for its title");
  file.setProperties(properties_of(tags));
  const bool saved = file.save();
  stream.check();
  if (!saved) throw SystemError("the title cannot be written into the file");
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

}  // namespace romanesca
