#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "theory/songs/chord_names.h"

namespace romanesca {

/// What a line beside the chords says about the song.
struct SongFacts {
  std::optional<KeyText> key;
  std::optional<double> tempo_bpm;
  std::optional<Meter> meter;
  std::string other_meter;  ///< as written, where songs here have meter in its place
  std::optional<int> capo;  ///< fret, 0 for none
  std::optional<NoteNames> names;
  std::string title;               ///< after "title:"
  std::string style;               ///< after "style:"
  std::string composer;            ///< after "by" or "music:"
  std::string author;              ///< the whole of "arranged by", "copyright"
  std::vector<std::string> other;  ///< the parts that no rule understood, in their order
  bool guitar = false;             ///< for guitarists only: strumming, shapes
  std::string bad_value;           ///< a "name: value" whose name is known and whose value is not, for the error
  std::string bad_name;

  /// Who made or wrote it is stated.
  [[nodiscard]] bool has_credits() const { return !composer.empty() || !author.empty(); }
  /// Something of the music is stated.
  [[nodiscard]] bool states_something() const { return key || tempo_bpm || meter || capo || names; }
};

/// Reads "Key: D    bpm 116", "Waltz, 3/4, tempo 138", "Fog Biscuit - P. Wollop - capo 5", "(about 132 bpm)",
/// "Fis-Dur".
[[nodiscard]] SongFacts read_song_facts(std::string_view line, NoteNames names);

/// Why bad_value cannot be used; without a place.
[[nodiscard]] TextError value_error(const SongFacts& facts);

}  // namespace romanesca
