#include <algorithm>
#include <array>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"

namespace romanesca {
namespace {

/// {start} and {close}: the first and the last note.
void melody_on_a_rhythm(ExerciseDraft& sketch) {
  sketch.take_chords();
  sketch.take_meter();
  sketch.take_rhythm();
  sketch.take_twist();
  sketch.take_pentatonic();
  sketch.take_safe_notes();
  const auto start = sketch.chords().front().tones();
  const auto close = sketch.chords().back().tones();
  sketch.say("start", to_string(start[sketch.variation.pick(3)]));
  sketch.say("close",
             to_string(holds(sketch.chords().back(), sketch.key().tonic) ? sketch.key().tonic : close.front()));
}

/// {verse} and {chorus} with the chords that they begin on. Both stand in the chart.
void verse_and_chorus(ExerciseDraft& sketch) {
  const auto four_bars = [](const Loop& loop) { return loop.one_chord_a_bar() && loop.bars.size() == 4; };
  sketch.take_loop([&](const Loop& loop) { return four_bars(loop) && loop.begins_home; });
  const std::vector<Chord> verse = sketch.chords();
  const std::string numerals = sketch.exercise.numerals;
  Progression both = sketch.exercise.progression;
  both.sections.front().name = "Verse";
  const auto choruses = sketch.possible_loops([&](const Loop& loop) {
    return four_bars(loop) && !loop.chords(sketch.key()).front().root.sounds_like(verse.front().root);
  });
  const Loop& chosen = *choruses[sketch.variation.pick(choruses.size())];
  std::vector<Chord> chorus = chosen.chords(sketch.key());
  // The first levels may have no loop that begins away from home: the verse, begun in the middle.
  if (chorus.front().root.sounds_like(verse.front().root)) {
    chorus = verse;
    std::size_t turn = 1;
    while (turn + 1 < chorus.size() && chorus[turn].root.sounds_like(verse.front().root)) ++turn;
    std::rotate(chorus.begin(), chorus.begin() + static_cast<std::ptrdiff_t>(turn), chorus.end());
  }
  std::vector<std::vector<Chord>> bars;
  bars.reserve(chorus.size());
  for (const Chord& chord : chorus) bars.push_back({chord});
  Section section = progression_of(bars, sketch.key()).sections.front();
  section.name = "Chorus";
  both.sections.push_back(std::move(section));
  sketch.take(std::move(both), sketch.key());
  sketch.take_meter();
  sketch.take_rhythm();
  sketch.take_twist();
  sketch.take_pentatonic();
  sketch.say("verse", in_a_row(verse));
  sketch.say("chorus", in_a_row(chorus));
  sketch.say("verse_first", to_string(verse.front()));
  sketch.say("chorus_first", to_string(chorus.front()));
}

void words_to_melody(ExerciseDraft& sketch) {
  sketch.take_chords();
  sketch.take_meter();
  sketch.take_twist();
  sketch.take_pentatonic();
}

}  // namespace

std::span<const ExerciseBuilder> compose_melody_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"melody-on-a-rhythm", melody_on_a_rhythm},
      ExerciseBuilder{"verse-and-chorus", verse_and_chorus},
      ExerciseBuilder{"words-to-melody", words_to_melody},
  };
  return builders;
}

}  // namespace romanesca
