#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "progressions/ideas/idea_kinds.h"
#include "theory/analysis/harmonic_function.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

using namespace intervals;

constexpr ChordType minor_seventh_chord{unison, minor_third, perfect_fifth, minor_seventh};
constexpr ChordType half_diminished{unison, minor_third, diminished_fifth, minor_seventh};
constexpr ChordType diminished_seventh_chord{unison, minor_third, diminished_fifth, diminished_seventh};

/// A chord of the key on another root than the tonic, to which a dominant of its own can lead.
bool can_be_led_to(const Chord& goal, const Key& key) {
  return !goal.root.sounds_like(key.tonic) && is_diatonic(goal, key) && !goal.type.is_diminished() &&
         goal.bass == goal.root;
}

/// A dominant of the next bar's chord in the second half of a bar.
void find_applied_dominants(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (!scene.halves_bars()) return;
  for (std::size_t bar = 0; bar < phrase.bars.size(); ++bar) {
    const auto here = phrase.whole_bar(bar);
    const auto goal = phrase.after_bar(bar);
    if (!here || !goal || here->root == goal->root || !can_be_led_to(*goal, phrase.key)) continue;
    const bool sevenths = scene.level.allows(chord_types::dominant_seventh);
    const Chord dominant =
        Chord::on(goal->root + perfect_fifth, sevenths ? chord_types::dominant_seventh : chord_types::major);
    if (here->root == dominant.root && here->type.has(major_third)) continue;  // it leads there as it is
    if (is_diatonic(dominant, phrase.key)) continue;
    const ChordReading reading = read_chord(dominant, phrase.key, goal);
    // Before a seventh chord on IV it is the blue I7, which has no numeral as a dominant.
    const std::string numeral = reading.numeral.applied_to.empty() ? "" : " (" + to_string(reading.numeral) + ")";
    found.push_back(draft_about(phrase, with_bar(phrase, bar, {here, dominant}),
                                fmt::format("{}{} before {}: a dominant of its own leads into it.", to_string(dominant),
                                            numeral, to_string(*goal))));
  }
}

/// ii and V of the next bar's chord in place of what stands before it.
void find_two_fives(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (!scene.halves_bars()) return;
  for (std::size_t bar = 1; bar < phrase.bars.size(); ++bar) {
    const auto here = phrase.whole_bar(bar);
    const auto goal = phrase.after_bar(bar);
    if (!here || !goal || here->root == goal->root) continue;
    const bool home = goal->root.sounds_like(phrase.key.tonic);
    const bool stands_on_dominant = here->type.is_dominant() && semitones_up(here->root, goal->root) == 5;
    if (home ? !stands_on_dominant : !can_be_led_to(*goal, phrase.key)) continue;
    const Chord dominant = Chord::on(goal->root + perfect_fifth, chord_types::dominant_seventh);
    const Chord two =
        Chord::on(goal->root + major_second, goal->type.is_minor() ? half_diminished : minor_seventh_chord);
    const auto before = phrase.bars[bar - 1].back().chord;
    if (before && before->root == two.root) continue;  // the ii is there
    found.push_back(draft_about(phrase, with_bar(phrase, bar, {two, dominant}),
                                fmt::format("{} and {} for {}: ii and V of {}, which comes next.", to_string(two),
                                            to_string(dominant), to_string(*here), to_string(*goal))));
  }
}

/// The dominant seventh a tritone away, whose root falls a semitone to the next chord's.
void find_tritone_substitutes(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  for (std::size_t bar = 0; bar < phrase.bars.size(); ++bar) {
    const auto here = phrase.whole_bar(bar);
    const auto goal = phrase.after_bar(bar);
    if (!here || !goal || !here->type.is_dominant() || semitones_up(here->root, goal->root) != 5) continue;
    const Chord other = Chord::on(goal->root + minor_second, chord_types::dominant_seventh);
    found.push_back(
        draft_about(phrase, with_bar(phrase, bar, {other}),
                    fmt::format("{} for {}: the same tritone, {} and {}, and the root falls a semitone to {}.",
                                to_string(other), to_string(*here), to_string(here->root + major_third),
                                to_string(here->root + minor_seventh), to_string(goal->root))));
  }
}

/// A diminished chord between two whose roots lie a whole tone apart, upwards.
void find_passing_chords(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (!scene.halves_bars()) return;
  for (std::size_t bar = 0; bar < phrase.bars.size(); ++bar) {
    const auto here = phrase.whole_bar(bar);
    const auto goal = phrase.after_bar(bar);
    if (!here || !goal || here->bass != here->root || goal->bass != goal->root) continue;
    if (goal->root - here->root != major_second || goal->type.is_diminished()) continue;
    const bool sevenths = scene.level.allows(diminished_seventh_chord);
    const Chord between =
        Chord::on(goal->root - minor_second, sevenths ? diminished_seventh_chord : chord_types::diminished);
    found.push_back(draft_about(phrase, with_bar(phrase, bar, {here, between}),
                                fmt::format("{} between {} and {}: the bass climbs by semitones, {} {} {}.",
                                            to_string(between), to_string(*here), to_string(*goal),
                                            to_string(here->root), to_string(between.root), to_string(goal->root))));
  }
}

bool is_step(PitchClass from, PitchClass to) {
  const int up = semitones_up(from, to);
  return up == 1 || up == 2 || up >= 10;
}

std::string bass_text(const Chord& inverted, const std::string& how, PitchClass from, PitchClass to) {
  return fmt::format("{} {}: the bass walks by step, {} {} {}.", to_string(inverted), how, to_string(from),
                     to_string(inverted.bass), to_string(to));
}

/// A first inversion in place of a root position, or between two chords whose roots lie a third apart, so that the bass
/// goes by step.
void find_walking_basses(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  for (std::size_t bar = 0; bar < phrase.bars.size(); ++bar) {
    const auto here = phrase.whole_bar(bar);
    const auto next = phrase.after_bar(bar);
    if (!here || !next || here->bass != here->root || !here->type.has_third()) continue;
    if (bar > 0) {
      const PitchClass from = phrase.bars[bar - 1].back().chord->bass;
      const Chord inverted{here->root, here->type, here->tones()[1]};
      if (is_step(from, inverted.bass) && is_step(inverted.bass, next->bass) && from != next->bass) {
        found.push_back(draft_about(phrase, with_bar(phrase, bar, {inverted}),
                                    bass_text(inverted, "for " + to_string(*here), from, next->bass)));
      }
    }
    const int falls = semitones_up(next->bass, here->bass);
    if (!scene.halves_bars() || (falls != 3 && falls != 4) || next->bass != next->root) continue;
    for (int degree = 1; degree <= 7; ++degree) {
      const Chord chord = phrase.key.diatonic_chord(degree, 3);
      const Chord between{chord.root, chord.type, chord.tones()[1]};
      if (chord.type.is_diminished() || !is_step(here->bass, between.bass) || !is_step(between.bass, next->bass))
        continue;
      found.push_back(
          draft_about(phrase, with_bar(phrase, bar, {here, between}),
                      bass_text(between, fmt::format("between {} and {}", to_string(*here), to_string(*next)),
                                here->bass, next->bass)));
    }
  }
}

/// The bass stays on the tonic under a phrase of the key that begins there.
void find_pedal_points(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  const PitchClass tonic = phrase.key.tonic;
  std::vector<PhraseBar> bars = phrase.bars;
  if (bars.front().front().chord->root != tonic) return;
  std::vector<PitchClass> roots;
  for (PhraseBar& bar : bars) {
    for (BarChord& each : bar) {
      const bool of_the_key = is_diatonic(*each.chord, phrase.key) && !each.chord->type.is_diminished();
      if (!of_the_key || each.chord->bass != each.chord->root) return;
      if (std::find(roots.begin(), roots.end(), each.chord->root) == roots.end()) roots.push_back(each.chord->root);
      each.chord->bass = tonic;
    }
  }
  if (roots.size() < 3) return;
  found.push_back(
      draft_about(phrase, std::move(bars),
                  fmt::format("The bass stays on {} under all of them (a pedal point): calm below, movement "
                              "above.",
                              to_string(tonic))));
}

}  // namespace

std::span<const IdeaKind> leading_idea_kinds() {
  static constexpr std::array kinds{IdeaKind{"applied dominant", false, in_songs | in_jazz, find_applied_dominants},
                                    IdeaKind{"two-five", false, in_jazz, find_two_fives},
                                    IdeaKind{"tritone substitute", false, in_jazz | in_blues, find_tritone_substitutes},
                                    IdeaKind{"passing chord", false, in_pop | in_jazz, find_passing_chords},
                                    IdeaKind{"bass", false, in_songs | in_jazz, find_walking_basses},
                                    IdeaKind{"pedal point", false, in_songs | in_jazz, find_pedal_points}};
  return kinds;
}

}  // namespace romanesca
