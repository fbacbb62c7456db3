#pragma once

#include <string>
#include <string_view>

#include "theory/text/errors.h"

namespace romanesca {

/// Bytes of a ZIP archive, as which notation programs write compressed MusicXML (.mxl).
[[nodiscard]] bool is_zip(std::string_view bytes);

/// The score of a compressed MusicXML file: what META-INF/container.xml names first (W3C MusicXML 4.0, "Compressed .mxl
/// files"), or without that the first file of the archive that is called .musicxml or .xml.
/// @param source what errors call it
/// Refuses damaged archives, those without a score, encrypted ones, and scores of more than 64 MiB.
[[nodiscard]] Result<std::string> unpack_musicxml(std::string_view bytes, const std::string& source);

}  // namespace romanesca
