#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>

#include "progressions/ideas/idea_kinds.h"
#include "theory/analysis/harmonic_function.h"

namespace romanesca {
namespace {

using namespace intervals;

/// A chord of the key that shares two notes or more with the one that stands there and is not in the phrase yet. For
/// chords of the key; not for the dominant, for the tonic at an ending or for the first chord of a phrase.
void find_substitutions(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  for (std::size_t bar = 1; bar < phrase.bars.size(); ++bar) {
    const auto usual = phrase.whole_bar(bar);
    if (!usual || usual->bass != usual->root || !is_diatonic(*usual, phrase.key)) continue;
    const int above = semitones_up(phrase.key.tonic, usual->root);
    if (above == 7 || above == 11 || (above == 0 && bar + 1 == phrase.bars.size())) continue;
    for (const int degree : {2, 4, 6, 3, 1}) {
      const Chord other = phrase.key.diatonic_chord(degree, usual->type.has_seventh() ? 4 : 3);
      const int common = std::popcount(other.sounding_tones() & usual->sounding_tones());
      if (common < 2 || other.type.is_diminished() || phrase.has_root(other.root)) continue;
      if (other.type.is_dominant()) continue;  // IV7 in dorian and the like would lead on
      constexpr std::array<std::string_view, 5> counts{"", "", "two", "three", "four"};
      found.push_back(
          draft_about(phrase, with_bar(phrase, bar, {other}),
                      fmt::format("{} for {}: {} of its notes stay, the colour changes.", to_string(other),
                                  to_string(*usual), counts[static_cast<std::size_t>(std::min(common, 4))])));
    }
  }
}

/// The same chord with the other third, or with a lowered fifth: @p from is the tone that becomes @p to.
void offer_colour(const IdeaScene& scene, std::size_t bar, const Chord& usual, const Chord& other, PitchClass from,
                  PitchClass to, std::vector<IdeaDraft>& found) {
  const bool darker = semitones_up(from, to) == 11;
  const bool leads_on = scene.halves_bars() && darker;
  const std::string change =
      fmt::format("{} becomes {}, a {} colour.", to_string(from), to_string(to), darker ? "darker" : "brighter");
  if (leads_on) {
    found.push_back(draft_about(scene.phrase, with_bar(scene.phrase, bar, {usual, other}),
                                fmt::format("{} after {}: {}", to_string(other), to_string(usual), change)));
  }
  found.push_back(draft_about(scene.phrase, with_bar(scene.phrase, bar, {other}),
                              fmt::format("{} for {}: {}", to_string(other), to_string(usual), change)));
}

/// The minor chord on the fourth degree of a major key, the major one in minor; ii with the fifth of minor.
void find_colours(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const Key& key = scene.phrase.key;
  for (std::size_t bar = 0; bar < scene.phrase.bars.size(); ++bar) {
    const auto usual = scene.phrase.whole_bar(bar);
    if (!usual || usual->bass != usual->root) continue;
    const int above = semitones_up(key.tonic, usual->root);
    Chord other = *usual;
    if (above == 5 && usual->type == chord_types::major && key.mode == Mode::major) {
      other.type = chord_types::minor;
      offer_colour(scene, bar, *usual, other, usual->root + major_third, usual->root + minor_third, found);
    } else if (above == 5 && usual->type == chord_types::minor && key.mode == Mode::minor) {
      other.type = chord_types::major;
      offer_colour(scene, bar, *usual, other, usual->root + minor_third, usual->root + major_third, found);
    } else if (above == 2 && key.mode == Mode::major && usual->type.is_minor() && usual->type.size() == 4 &&
               usual->type.has(minor_seventh) && usual->type.has(perfect_fifth)) {
      other.type.replace(perfect_fifth, diminished_fifth);
      offer_colour(scene, bar, *usual, other, usual->root + perfect_fifth, usual->root + diminished_fifth, found);
    }
  }
}

/// The key's seventh chord on the root of a triad of the key; nothing for any other chord.
std::optional<Chord> with_seventh(const Chord& triad, const Key& key) {
  for (int degree = 1; degree <= 7; ++degree) {
    const Chord own = key.diatonic_chord(degree, 4);
    if (own.root != triad.root) continue;
    Chord richer{triad.root, own.type, triad.bass};
    if (key.mode == Mode::minor && degree == 5) richer.type = chord_types::dominant_seventh;
    if (richer.type.triad() == triad.type && !richer.type.is_diminished()) return richer;
  }
  return std::nullopt;
}

void find_sevenths(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  std::vector<PhraseBar> bars = phrase.bars;
  int changed = 0;
  for (PhraseBar& bar : bars) {
    for (BarChord& each : bar) {
      if (each.chord->type.size() > 3) return;  // it has them already, somewhere
      const auto richer = with_seventh(*each.chord, phrase.key);
      if (!richer || !scene.level.allows(richer->type)) continue;
      each.chord = richer;
      ++changed;
    }
  }
  if (changed < 2) return;
  found.push_back(draft_about(phrase, std::move(bars),
                              "With sevenths: the triads keep their three notes and get a fourth, softer and fuller."));
}

/// The fourth in place of the third on a major chord, and then the third.
void find_suspensions(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (!scene.halves_bars()) return;
  for (std::size_t bar = 0; bar < phrase.bars.size(); ++bar) {
    const auto usual = phrase.whole_bar(bar);
    if (!usual || usual->bass != usual->root) continue;
    const int above = semitones_up(phrase.key.tonic, usual->root);
    const bool plain = usual->type == chord_types::major || usual->type == chord_types::dominant_seventh;
    const PitchClass fourth = usual->root + perfect_fourth;
    if (!plain || (above != 7 && above != 0) || !phrase.key.contains(fourth)) continue;
    Chord suspended = *usual;
    suspended.type.replace(major_third, perfect_fourth);
    found.push_back(
        draft_about(phrase, with_bar(phrase, bar, {suspended, usual}),
                    fmt::format("{} before {}: {} waits, then falls to {}.", to_string(suspended), to_string(*usual),
                                to_string(fourth), to_string(usual->root + major_third))));
  }
}

}  // namespace

std::span<const IdeaKind> chord_idea_kinds() {
  static constexpr std::array kinds{IdeaKind{"substitution", false, in_songs | in_jazz, find_substitutions},
                                    IdeaKind{"colour", false, in_songs | in_jazz, find_colours},
                                    IdeaKind{"sevenths", false, in_songs | in_jazz, find_sevenths},
                                    IdeaKind{"suspension", false, in_songs, find_suspensions}};
  return kinds;
}

}  // namespace romanesca
