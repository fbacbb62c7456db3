#include "tests/theory/four_part_text.h"

#include <sstream>

namespace romanesca {

std::vector<Chord> chords_of(const std::string& text) {
  std::vector<Chord> chords;
  std::istringstream words(text);
  for (std::string word; words >> word;) chords.push_back(*parse_chord(word));
  return chords;
}

Key key_of(const std::string& text) {
  const KeyText read = *parse_key(text);
  return {read.tonic, read.mode.value_or(Mode::major)};
}

std::vector<FourPartVoicing> music_of(const std::string& text) {
  std::vector<FourPartVoicing> chords(1);
  std::size_t voice = 0;
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    if (word == "|") {
      chords.emplace_back();
      voice = 0;
    } else {
      chords.back().voices[voice++] = *parse_pitch(word);
    }
  }
  return chords;
}

FourPart write(const std::vector<Chord>& chords, const Key& key) {
  return write_four_parts(chords, std::vector<Key>(chords.size(), key));
}
FourPart write(const std::string& chords, const std::string& key) { return write(chords_of(chords), key_of(key)); }

std::string line(const FourPart& written, VoicePart part) {
  std::string text;
  for (const FourPartVoicing& chord : written.chords) {
    text += (text.empty() ? "" : " ") + to_string(chord.voices[static_cast<std::size_t>(part)]);
  }
  return text;
}

std::string told(const FourPart& written) {
  std::string text;
  for (const BrokenRule& each : written.broken_rules) text += each.text + "\n";
  return text;
}

std::vector<Key> usual_keys() {
  std::vector<Key> keys;
  for (int signature = -5; signature <= 6; ++signature) {
    keys.push_back({PitchClass(signature), Mode::major});
    keys.push_back({PitchClass(signature + 3), Mode::minor});
  }
  return keys;
}

}  // namespace romanesca
