#pragma once

#include <taglib/taglib.h>
#include <taglib/tiostream.h>

#include <string>

#include "synth/files/byte_file.h"

namespace romanesca {

/// A finished file as TagLib reads and changes it. TagLib's own stream says nothing when the disk is full.
class TagStream final : public TagLib::IOStream {
 public:
#if TAGLIB_MAJOR_VERSION >= 2
  using Size = size_t;
  using Place = TagLib::offset_t;
  using Start = TagLib::offset_t;
#else
  using Size = unsigned long;
  using Place = long;
  using Start = unsigned long;
#endif

  /// Throws SystemError.
  explicit TagStream(const std::string& path) : path_(path), file_(path, ByteFile::Open::as_it_is) {}

  [[nodiscard]] TagLib::FileName name() const override { return path_.c_str(); }
  TagLib::ByteVector readBlock(Size length) override;
  void writeBlock(const TagLib::ByteVector& data) override;
  void insert(const TagLib::ByteVector& data, Start start, Size replace) override;
  void removeBlock(Start start, Size length) override;
  [[nodiscard]] bool readOnly() const override { return false; }
  [[nodiscard]] bool isOpen() const override { return true; }
  void seek(Place offset, Position from) override;
  [[nodiscard]] Place tell() const override { return static_cast<Place>(file_.place()); }
  Place length() override { return static_cast<Place>(file_.length()); }
  void truncate(Place length) override { file_.truncate(length); }

  /// Throws SystemError if the disk has refused anything.
  void check() const { file_.check(); }

 private:
  std::string path_;
  ByteFile file_;
};

}  // namespace romanesca
