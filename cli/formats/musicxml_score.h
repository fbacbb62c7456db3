#pragma once

#include <pugixml.hpp>
#include <string>

namespace romanesca {

/// A MusicXML 4.0 score (score-partwise) of one part with these measures.
/// @param composer empty for none @param part its name @param measures as text_of_measure gives them, in order
[[nodiscard]] std::string musicxml_score(const std::string& title, const std::string& composer, const char* part,
                                         const std::string& measures);

/// A measure as it stands in a part.
[[nodiscard]] std::string text_of_measure(pugi::xml_node measure);

/// Without the characters that XML 1.0 does not allow; a file's name may contain any byte.
[[nodiscard]] std::string xml_text(const std::string& text);

}  // namespace romanesca
