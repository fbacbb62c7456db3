#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "progressions/ideas.h"
#include "progressions/ideas/song_phrases.h"

namespace romanesca {

/// A possible idea, before it is known whether the level can play it.
struct IdeaDraft {
  Idea idea;
  std::vector<PhraseBar> bars;
  std::optional<Chord> after;  ///< what sounds after the last bar, for reading the chords
  Key key;                     ///< to read them in
};

/// What an idea is made from.
struct IdeaScene {
  const SongPhrase& phrase;
  const Level& level;
  const Meter& meter;
  Idiom idiom;

  /// Two chords can share a bar evenly, in time and for the level.
  [[nodiscard]] bool halves_bars() const { return meter.upper % 2 == 0 && level.chords_per_bar >= 2; }
};

/// A kind of idea: finds every place in a phrase where it can be tried.
struct IdeaKind {
  std::string_view name;
  bool about_form = false;  ///< about the order of things rather than the chords
  std::uint8_t idioms = 0;  ///< bit set of Idiom
  void (*find)(const IdeaScene& scene, std::vector<IdeaDraft>& found) = nullptr;
};

/// Chords in place of others: substitution, colour, sevenths, suspension.
[[nodiscard]] std::span<const IdeaKind> chord_idea_kinds();
/// Chords that lead to others, and what the bass does: applied dominant, two-five, tritone substitute, passing chord,
/// bass, pedal point.
[[nodiscard]] std::span<const IdeaKind> leading_idea_kinds();
/// Order, bridge, silence, ending, turnaround, step up.
[[nodiscard]] std::span<const IdeaKind> form_idea_kinds();
/// What players do with a twelve-bar blues: quick change, turnaround, two-five, passing chord, silence.
[[nodiscard]] std::span<const IdeaKind> blues_idea_kinds();

/// Bit sets for IdeaKind::idioms.
constexpr std::uint8_t idiom_bit(Idiom idiom) noexcept {
  return static_cast<std::uint8_t>(1U << static_cast<unsigned>(idiom));
}
inline constexpr std::uint8_t in_pop = 1U << static_cast<unsigned>(Idiom::pop);
inline constexpr std::uint8_t in_songs = in_pop | 1U << static_cast<unsigned>(Idiom::folk);
inline constexpr std::uint8_t in_jazz = 1U << static_cast<unsigned>(Idiom::jazz);
inline constexpr std::uint8_t in_blues = 1U << static_cast<unsigned>(Idiom::blues);

/// The bars of a phrase with one of them filled by these chords in equal shares.
[[nodiscard]] std::vector<PhraseBar> with_bar(const SongPhrase& phrase, std::size_t bar,
                                              const std::vector<std::optional<Chord>>& chords);

/// A draft about all bars of the phrase.
[[nodiscard]] IdeaDraft draft_about(const SongPhrase& phrase, std::vector<PhraseBar> bars, std::string text);

}  // namespace romanesca
