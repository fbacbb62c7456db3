#pragma once

#include <string>
#include <vector>

#include "theory/voicing/four_part.h"

namespace romanesca {

/// "C F/A G7": chords with spaces between them.
[[nodiscard]] std::vector<Chord> chords_of(const std::string& text);
/// "A minor"; major where it says nothing.
[[nodiscard]] Key key_of(const std::string& text);
/// "C3 E4 G4 C5 | ...": bass to soprano.
[[nodiscard]] std::vector<FourPartVoicing> music_of(const std::string& text);

/// Written in one key.
[[nodiscard]] FourPart write(const std::vector<Chord>& chords, const Key& key);
[[nodiscard]] FourPart write(const std::string& chords, const std::string& key);

/// One voice as text: "C5 B4 C5".
[[nodiscard]] std::string line(const FourPart& written, VoicePart part);
/// What gave way, a sentence a line.
[[nodiscard]] std::string told(const FourPart& written);

/// The 24 keys in use: tonics from five flats to six sharps.
[[nodiscard]] std::vector<Key> usual_keys();

}  // namespace romanesca
