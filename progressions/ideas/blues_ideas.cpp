// Twelve bars in three lines of four; the second line begins on IV, the third on V (Open Music Theory, "Blues Harmony",
// which also has the quick change and the jazz turns).
#include <fmt/format.h>

#include <array>

#include "progressions/ideas/idea_kinds.h"

namespace romanesca {
namespace {

using namespace intervals;

constexpr int form_bars = 12;

/// The line of the form that a phrase is, 0 to 2; -1 for none.
int blues_line(const SongPhrase& phrase) {
  if (phrase.bars.size() != 4 || phrase.section_bars % form_bars != 0) return -1;
  return phrase.bar_in_section % form_bars / 4;
}

/// The chord of a whole bar on a root so many semitones above the tonic; nothing for any other.
std::optional<Chord> bar_on(const SongPhrase& phrase, std::size_t bar, int above) {
  const auto chord = phrase.whole_bar(bar);
  if (!chord || semitones_up(phrase.key.tonic, chord->root) != above || chord->bass != chord->root) return std::nullopt;
  return chord;
}

Chord minor_seventh_on(PitchClass root) {
  return Chord::on(root, ChordType{unison, minor_third, perfect_fifth, minor_seventh});
}

void find_quick_changes(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (blues_line(phrase) != 0) return;
  const auto home = bar_on(phrase, 1, 0);
  if (!home || !bar_on(phrase, 0, 0) || !bar_on(phrase, 2, 0)) return;
  const Chord fourth = Chord::on(home->root + perfect_fourth, home->type);
  found.push_back(draft_about(phrase, with_bar(phrase, 1, {fourth}),
                              fmt::format("{} in bar {} already (the quick change): the line moves sooner.",
                                          to_string(fourth), phrase.bar + 1)));
}

void find_blues_turnarounds(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (blues_line(phrase) != 2) return;
  const auto home = bar_on(phrase, 3, 0);
  if (!home || !bar_on(phrase, 2, 0)) return;
  const Chord fifth = Chord::on(home->root + perfect_fifth, chord_types::dominant_seventh);
  found.push_back(draft_about(
      phrase, with_bar(phrase, 3, {fifth}),
      fmt::format("{} in the last bar (a turnaround) leads back to {}.", to_string(fifth), to_string(*home))));
  if (!scene.halves_bars() || home->type.is_minor()) return;
  const Chord sixth = Chord::on(home->root + major_sixth, chord_types::dominant_seventh);
  SongPhrase changed = phrase;
  changed.bars = with_bar(phrase, 2, {home, sixth});
  found.push_back(draft_about(phrase, with_bar(changed, 3, {minor_seventh_on(home->root + major_second), fifth}),
                              fmt::format("A turnaround: from {} each root falls by a fifth, back to {}.",
                                          to_string(sixth), to_string(*home))));
}

void find_blues_two_fives(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  const int line = blues_line(phrase);
  const PitchClass tonic = phrase.key.tonic;
  if (line == 0 && scene.halves_bars()) {
    const auto home = bar_on(phrase, 3, 0);
    if (home && home->type.is_dominant() && phrase.next && semitones_up(tonic, phrase.next->root) == 5) {
      const Chord two = minor_seventh_on(tonic + perfect_fifth);
      found.push_back(draft_about(phrase, with_bar(phrase, 3, {two, home}),
                                  fmt::format("{} and {} for {}: ii and V of {}, which comes next.", to_string(two),
                                              to_string(*home), to_string(*home), to_string(*phrase.next))));
    }
  }
  const auto fifth = line == 2 ? bar_on(phrase, 0, 7) : std::nullopt;
  const auto fourth = line == 2 ? bar_on(phrase, 1, 5) : std::nullopt;
  if (!fifth || !fourth || fourth->type.is_minor()) return;
  const Chord two = minor_seventh_on(tonic + major_second);
  SongPhrase changed = phrase;
  changed.bars = with_bar(phrase, 0, {two});
  const Chord dominant = Chord::on(fifth->root, chord_types::dominant_seventh);
  found.push_back(draft_about(phrase, with_bar(changed, 1, {dominant}),
                              fmt::format("{} and {} for {} and {}: ii and V, as in a jazz blues.", to_string(two),
                                          to_string(dominant), to_string(*fifth), to_string(*fourth))));
}

/// The diminished chord on the raised fourth degree between IV and I.
void find_blues_passing_chords(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (blues_line(phrase) != 1) return;
  const auto fourth = bar_on(phrase, 1, 5);
  const auto home = bar_on(phrase, 2, 0);
  if (!fourth || !home || !bar_on(phrase, 0, 5)) return;
  const Chord raised =
      Chord::on(home->root + augmented_fourth, ChordType{unison, minor_third, diminished_fifth, diminished_seventh});
  found.push_back(draft_about(
      phrase, with_bar(phrase, 1, {raised}),
      fmt::format("{} after {}: the bass climbs a semitone, and one more would be {}, the fifth of {}.",
                  to_string(raised), to_string(*fourth), to_string(home->root + perfect_fifth), to_string(*home))));
}

/// One stroke a bar, and silence for who sings or plays over it.
void find_stop_times(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (blues_line(phrase) != 0 || scene.meter.upper % 2 != 0) return;
  SongPhrase changed = phrase;
  for (std::size_t bar = 0; bar < phrase.bars.size(); ++bar) {
    const auto chord = phrase.whole_bar(bar);
    if (!chord) return;
    changed.bars = with_bar(changed, bar, {chord, std::nullopt});
  }
  found.push_back(draft_about(phrase, std::move(changed.bars),
                              "Stop time: a stroke at the beginning of each bar, then silence for the melody."));
}

}  // namespace

std::span<const IdeaKind> blues_idea_kinds() {
  static constexpr std::array kinds{IdeaKind{"quick change", false, in_blues, find_quick_changes},
                                    IdeaKind{"turnaround", true, in_blues, find_blues_turnarounds},
                                    IdeaKind{"two-five", false, in_blues, find_blues_two_fives},
                                    IdeaKind{"passing chord", false, in_blues, find_blues_passing_chords},
                                    IdeaKind{"silence", true, in_blues, find_stop_times}};
  return kinds;
}

}  // namespace romanesca
