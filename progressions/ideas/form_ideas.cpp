#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "progressions/ideas/idea_kinds.h"
#include "progressions/library.h"

namespace romanesca {
namespace {

using namespace intervals;

/// The same bars, begun on another one: not on the tonic if they begin there, else on the tonic.
void find_orders(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (phrase.bars.size() < 3 || phrase.bars.front() == phrase.bars.back()) return;
  const bool from_tonic = phrase.bars.front().front().chord->root == phrase.key.tonic;
  for (std::size_t turn = phrase.bars.size() - 1; turn > 0; --turn) {
    std::vector<PhraseBar> bars = phrase.bars;
    std::rotate(bars.begin(), bars.begin() + static_cast<std::ptrdiff_t>(turn), bars.end());
    const Chord& begins = *bars.front().front().chord;
    const int first = semitones_up(phrase.key.tonic, begins.root);
    if (from_tonic ? first == 7 || first == 0 : first != 0) continue;
    const std::string text =
        from_tonic ? fmt::format("The same bars, begun on {}, away from home: the first one already asks for more.",
                                 to_string(begins))
                   : fmt::format("The same bars, begun at home on {}: calmer, good for a verse.", to_string(begins));
    found.push_back(draft_about(phrase, std::move(bars), text));
    found.back().after.reset();
  }
}

bool has_tag(const Pattern& pattern, std::initializer_list<std::string_view> tags) {
  return std::any_of(tags.begin(), tags.end(), [&](std::string_view tag) {
    return std::find(pattern.tags.begin(), pattern.tags.end(), tag) != pattern.tags.end();
  });
}

bool suits(const Pattern& pattern, Idiom idiom) {
  if (has_tag(pattern, {"blues", "ground", "classical", "technique"})) return false;
  const bool of_jazz = has_tag(pattern, {"swing", "sevenths", "circle of fifths"});
  if (idiom == Idiom::jazz) return of_jazz;
  if (idiom == Idiom::folk) return has_tag(pattern, {"folk", "hymn", "march", "phrase", "procession"});
  return !of_jazz && has_tag(pattern, {"loop", "pop", "rock", "ballad", "dance", "film"});
}

/// The chords of a pattern, in bars of the song's own length.
std::vector<PhraseBar> bars_of(const Pattern& pattern, const SongPhrase& phrase) {
  Beats bar_length;
  for (const BarChord& each : phrase.bars.front()) bar_length += each.length;
  std::vector<PhraseBar> bars;
  int bar = 0;
  for (const TimedChord& timed : timeline(pattern.progression, phrase.key).chords) {
    if (timed.bar != bar) bars.emplace_back();
    bar = timed.bar;
    bars.back().push_back({timed.chord, {}});
  }
  for (PhraseBar& each : bars) {
    for (BarChord& chord : each) chord.length = bar_length / static_cast<std::int64_t>(each.size());
  }
  return bars;
}

/// A pattern of the library that begins and ends away from the tonic, and is not the phrase itself in another order.
void find_bridges(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (phrase.bar != 1) return;
  for (const Pattern& pattern : library()) {
    if (pattern.mode != phrase.key.mode || pattern.level > scene.level.number || !suits(pattern, scene.idiom)) continue;
    std::vector<PhraseBar> bars = bars_of(pattern, phrase);
    const Chord& first = *bars.front().front().chord;
    const Chord& last = *bars.back().back().chord;
    const bool all_known = std::all_of(bars.begin(), bars.end(), [&](const PhraseBar& bar) {
      return std::all_of(bar.begin(), bar.end(),
                         [&](const BarChord& each) { return phrase.has_root(each.chord->root); });
    });
    const int end = semitones_up(phrase.key.tonic, last.root);
    const bool away =
        !first.root.sounds_like(phrase.key.tonic) && first.root != phrase.bars.front().front().chord->root;
    if (bars.size() < 3 || bars.size() > 8 || !away || end == 0 || all_known) continue;
    IdeaDraft draft = draft_about(phrase, std::move(bars),
                                  fmt::format("For a bridge: it begins on {} and {} ({} in the library).",
                                              to_string(first), end == 7 ? "leads back" : "stays open", pattern.id));
    draft.idea.bar = draft.idea.bars = 0;
    draft.after.reset();
    found.push_back(std::move(draft));
  }
}

/// The end of a section without a sound.
void find_silences(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (!phrase.ends_section || phrase.bars.size() < 3) return;
  const std::size_t last = phrase.bars.size() - 1;
  const auto chord = phrase.whole_bar(last);
  if (!chord) return;
  const int number = phrase.bar + static_cast<int>(last);
  const std::string_view then = phrase.ends_song ? "the beginning" : "the next part";
  if (scene.meter.upper % 2 == 0) {
    found.push_back(
        draft_about(phrase, with_bar(phrase, last, {chord, std::nullopt}),
                    fmt::format("Stop in the middle of bar {}: after the silence {} sounds new.", number, then)));
  }
  found.push_back(draft_about(phrase, with_bar(phrase, last, {std::nullopt}),
                              fmt::format("Leave bar {} empty, for the voice alone, before {}.", number,
                                          phrase.ends_song ? "it begins again" : "the next part")));
}

/// Another end of a song that closes on its tonic: past home first, or with the chord on the fourth degree.
void find_endings(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (!phrase.ends_song || phrase.bars.size() < 2) return;
  const std::size_t last = phrase.bars.size() - 1;
  const auto home = phrase.whole_bar(last);
  const auto before = phrase.bars[last - 1].back().chord;
  if (!home || !before || home->root != phrase.key.tonic || home->bass != home->root) return;
  const bool minor = is_minorish(phrase.key.mode);
  const PhraseBar& home_bar = phrase.bars[last];
  const Chord sixth = phrase.key.diatonic_chord(6, 3);
  if (semitones_up(phrase.key.tonic, before->root) == 7 && !sixth.type.is_diminished()) {
    std::vector<PhraseBar> bars = with_bar(phrase, last, {sixth});
    bars.push_back(phrase.bars[last - 1]);
    bars.push_back(home_bar);
    found.push_back(draft_about(phrase, std::move(bars),
                                fmt::format("To end the song: {} goes to {} first, and to {} only the second time.",
                                            to_string(*before), to_string(sixth), to_string(*home))));
    found.back().after.reset();
  }
  const Chord fourth = phrase.key.diatonic_chord(4, 3);
  for (const bool borrowed : {false, true}) {
    if (borrowed && (minor || fourth.type != chord_types::major)) continue;
    const Chord chord = borrowed ? Chord::on(fourth.root, chord_types::minor) : fourth;
    std::vector<PhraseBar> bars = phrase.bars;
    bars.push_back({{chord, home_bar.front().length}});
    bars.push_back(home_bar);
    found.push_back(
        draft_about(phrase, std::move(bars),
                    fmt::format("After the end {} and {} once more: {}.", to_string(chord), to_string(*home),
                                borrowed ? "dark, then home" : "it settles like a hymn")));
    found.back().after.reset();
  }
}

/// The way back to the beginning in the last bar of a part that closes on the tonic.
void find_turnarounds(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (!phrase.ends_section || !scene.halves_bars() || phrase.bars.size() < 2) return;
  const std::size_t last = phrase.bars.size() - 1;
  const auto home = phrase.whole_bar(last);
  const auto back_to = phrase.next ? phrase.next : phrase.first;
  if (!home || !back_to || home->root != phrase.key.tonic || back_to->root != phrase.key.tonic) return;
  const bool minor = is_minorish(phrase.key.mode);
  const PitchClass fifth = phrase.key.tonic + perfect_fifth;
  const bool sevenths = scene.level.allows(chord_types::dominant_seventh);
  const Chord dominant = Chord::on(fifth, sevenths ? chord_types::dominant_seventh : chord_types::major);
  if (scene.idiom != Idiom::jazz) {
    found.push_back(draft_about(phrase, with_bar(phrase, last, {home, dominant}),
                                fmt::format("A turnaround: {} leads back to {}, so that the music goes round.",
                                            to_string(dominant), to_string(*back_to))));
  }
  const auto earlier = phrase.whole_bar(last - 1);
  if (!earlier || earlier->root != home->root || minor) return;
  const ChordType minor_seventh_type{unison, minor_third, perfect_fifth, minor_seventh};
  const Chord sixth = Chord::on(phrase.key.tonic + major_sixth, chord_types::dominant_seventh);
  const Chord second = Chord::on(phrase.key.tonic + major_second, minor_seventh_type);
  SongPhrase changed = phrase;
  changed.bars = with_bar(phrase, last - 1, {home, sixth});
  found.push_back(draft_about(phrase, with_bar(changed, last, {second, dominant}),
                              fmt::format("A turnaround: from {} each root falls by a fifth, back to {}.",
                                          to_string(sixth), to_string(*back_to))));
}

/// The phrase a tone or a semitone higher, after the new key's dominant.
void find_steps_up(const IdeaScene& scene, std::vector<IdeaDraft>& found) {
  const SongPhrase& phrase = scene.phrase;
  if (phrase.bar_in_section != 0) return;
  for (const Interval by : {major_second, minor_second}) {
    const Key higher = simplest_spelling({phrase.key.tonic + by, phrase.key.mode});
    if (!scene.level.allows(higher)) continue;
    const Interval rise = higher.tonic - phrase.key.tonic;
    std::vector<PhraseBar> bars = phrase.bars;
    for (PhraseBar& bar : bars) {
      for (BarChord& each : bar) each.chord = *each.chord + rise;
    }
    Beats bar_length;
    for (const BarChord& each : bars.front()) bar_length += each.length;
    const bool sevenths = scene.level.allows(chord_types::dominant_seventh);
    const Chord dominant =
        Chord::on(higher.tonic + perfect_fifth, sevenths ? chord_types::dominant_seventh : chord_types::major);
    bars.insert(bars.begin(), PhraseBar{{dominant, bar_length}});
    IdeaDraft draft =
        draft_about(phrase, std::move(bars),
                    fmt::format("For the last time a {} higher, in {}: {} is its dominant.",
                                by == major_second ? "tone" : "semitone", to_string(higher), to_string(dominant)));
    draft.key = higher;
    draft.after.reset();
    found.push_back(std::move(draft));
  }
}

}  // namespace

std::span<const IdeaKind> form_idea_kinds() {
  static constexpr std::array kinds{IdeaKind{"order", true, in_songs, find_orders},
                                    IdeaKind{"bridge", true, in_songs | in_jazz, find_bridges},
                                    IdeaKind{"silence", true, in_songs, find_silences},
                                    IdeaKind{"ending", true, in_songs | in_jazz, find_endings},
                                    IdeaKind{"turnaround", true, in_songs | in_jazz, find_turnarounds},
                                    IdeaKind{"step up", true, in_pop, find_steps_up}};
  return kinds;
}

}  // namespace romanesca
