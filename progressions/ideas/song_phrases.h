#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "theory/analysis/analysis.h"

namespace romanesca {

/// What kind of music a song is, as far as its style and its chords tell.
enum class Idiom : std::uint8_t {
  folk,   ///< triads of the key and little else: folk songs, hymns, marches
  pop,    ///< pop, rock and dance music, and what is none of the others
  jazz,   ///< sevenths throughout, ii before V
  blues,  ///< dominant sevenths on I and IV
};

/// By the style that the song names, if the table in song_phrases.cpp has it; else by the chords.
[[nodiscard]] Idiom idiom_of(const Analysis& analysis, std::string_view style);

/// A chord in a bar; nothing for silence.
struct BarChord {
  std::optional<Chord> chord;
  Beats length;
  friend bool operator==(const BarChord&, const BarChord&) = default;
};
using PhraseBar = std::vector<BarChord>;

/// Up to four bars of a song in one key, with a chord in each.
struct SongPhrase {
  int bar = 1;             ///< its first, from 1 through the piece
  int bar_in_section = 0;  ///< the same from the section's beginning, from 0
  int section_bars = 0;    ///< the length of that section
  Key key;
  std::vector<PhraseBar> bars;
  std::optional<Chord> next;   ///< what sounds after it
  std::optional<Chord> first;  ///< what the song begins with
  bool ends_section = false;
  bool ends_song = false;

  /// The one chord of a bar; nothing where it has more or is silent.
  [[nodiscard]] std::optional<Chord> whole_bar(std::size_t index) const;
  /// What sounds after a bar: the first chord of the next one, or `next`.
  [[nodiscard]] std::optional<Chord> after_bar(std::size_t index) const;
  /// Whether a chord with this root sounds in it.
  [[nodiscard]] bool has_root(PitchClass root) const;
};

/// The phrases of a song from the beginning of each section, four bars by four, each once; at most @p most. Roots have
/// the letters that the key uses.
[[nodiscard]] std::vector<SongPhrase> phrases_of(const Analysis& analysis, std::size_t most = 24);

/// "| C | Am A7 | Dm | G |": reads back as these bars in that meter. A bar whose chords have different lengths is
/// written beat by beat.
[[nodiscard]] std::string bars_as_text(const std::vector<PhraseBar>& bars, const Meter& meter);

/// Semitones from a note up to another, 0 to 11.
[[nodiscard]] inline int semitones_up(PitchClass from, PitchClass to) noexcept {
  return ((to.semitone() - from.semitone()) % 12 + 12) % 12;
}

}  // namespace romanesca
