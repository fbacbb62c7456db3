#include "cli/studio/compressed_musicxml.h"

#include <fmt/format.h>
#include <zip.h>

#include <memory>
#include <optional>
#include <pugixml.hpp>

#include "theory/text/characters.h"

namespace romanesca {
namespace {

constexpr std::uint64_t longest_score = std::uint64_t{64} << 20;  // bytes
constexpr const char* container_name = "META-INF/container.xml";

struct DiscardArchive {
  void operator()(zip_t* archive) const { zip_discard(archive); }
};
using Archive = std::unique_ptr<zip_t, DiscardArchive>;

struct CloseEntry {
  void operator()(zip_file_t* file) const { zip_fclose(file); }
};

Archive open_archive(std::string_view bytes) {
  zip_source_t* const source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, nullptr);
  if (source == nullptr) return nullptr;
  zip_t* const archive = zip_open_from_source(source, ZIP_RDONLY, nullptr);
  if (archive == nullptr) zip_source_free(source);
  return Archive(archive);
}

/// Nothing for a file that is not there, is damaged or too long.
std::optional<std::string> entry(zip_t* archive, const char* name) {
  const std::unique_ptr<zip_file_t, CloseEntry> file(zip_fopen(archive, name, 0));
  if (!file) return std::nullopt;
  std::string text;
  std::string block(std::size_t{64} << 10, '\0');
  for (;;) {
    const zip_int64_t count = zip_fread(file.get(), block.data(), block.size());
    if (count < 0 || text.size() + static_cast<std::uint64_t>(count) > longest_score) return std::nullopt;
    if (count == 0) return text;
    text.append(block, 0, static_cast<std::size_t>(count));
  }
}

/// The name of the score in the archive; empty for none.
std::string score_name(zip_t* archive) {
  if (const auto container = entry(archive, container_name)) {
    pugi::xml_document document;
    if (document.load_buffer(container->data(), container->size())) {
      const pugi::xml_node first = document.child("container").child("rootfiles").child("rootfile");
      if (std::string name = first.attribute("full-path").value(); !name.empty()) return name;
    }
  }
  const zip_int64_t count = zip_get_num_entries(archive, 0);
  for (zip_int64_t i = 0; i < count; ++i) {
    const char* const name = zip_get_name(archive, static_cast<zip_uint64_t>(i), 0);
    if (name == nullptr) continue;
    const std::string small = small_letters(name);
    const bool is_score = small.ends_with(".musicxml") || small.ends_with(".xml");
    if (is_score && !small.starts_with("meta-inf/") && !small.starts_with("__macosx/")) return name;
  }
  return {};
}

}  // namespace

bool is_zip(std::string_view bytes) { return bytes.starts_with("PK\x03\x04"); }

Result<std::string> unpack_musicxml(std::string_view bytes, const std::string& source) {
  const auto failure = [&](std::string_view what) {
    return Failure(ExitStatus::wrong_input, fmt::format("{} {}", source, what),
                   "export it once more from the notation program, or save it as uncompressed MusicXML (.musicxml)");
  };
  const Archive archive = open_archive(bytes);
  if (!archive) return failure("is a damaged archive");
  for (const char* const document : {"word/document.xml", "content.xml"}) {  // of Office Open XML, of OpenDocument
    if (zip_name_locate(archive.get(), document, 0) < 0) continue;
    return Failure(ExitStatus::wrong_input, fmt::format("{} is a document of an office program", source),
                   "save it there as plain text (.txt)");
  }
  const std::string name = score_name(archive.get());
  if (name.empty()) return failure("is an archive without a MusicXML score");
  auto score = entry(archive.get(), name.c_str());
  if (!score) return failure("is a damaged archive, or its score is longer than 64 MiB");
  return std::move(*score);
}

}  // namespace romanesca
