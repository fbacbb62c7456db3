#include "synth/files/tag_stream.h"

#include <algorithm>

namespace romanesca {

TagLib::ByteVector TagStream::readBlock(Size length) {
  const std::int64_t left = std::max<std::int64_t>(file_.length() - file_.place(), 0);
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
  if (old_size != new_size) file_.move_rest(std::min(from + old_size, file_.length()), from + new_size);
  file_.seek(from);
  writeBlock(data);
}

void TagStream::removeBlock(Start start, Size length) {
  const auto from = static_cast<std::int64_t>(start);
  file_.move_rest(std::min(from + static_cast<std::int64_t>(length), file_.length()), from);
}

void TagStream::seek(Place offset, Position from) {
  const std::int64_t origin = from == Beginning ? 0 : from == Current ? file_.place() : file_.length();
  file_.seek(std::max<std::int64_t>(origin + offset, 0));
}

}  // namespace romanesca
