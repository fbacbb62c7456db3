#include <algorithm>
#include <array>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"

namespace romanesca {
namespace {

/// {start} and {close}: the first and the last note.
void melody_on_a_rhythm(ExerciseDraft& draft) {
  draft.take_chords([](const Loop& loop) { return loop.ends_on_tonic; });
  draft.come_home();
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  draft.take_pentatonic();
  draft.take_safe_notes();
  std::vector<PitchClass> start;
  for (const PitchClass note : draft.exercise.notes) {
    if (holds(draft.chords().front(), note)) start.push_back(note);
  }
  if (start.empty()) start = draft.exercise.notes;
  const PitchClass begin = start[draft.variation.pick(start.size())];
  const PitchClass end = draft.key().tonic;
  draft.exercise.claims.asked = {begin, end};
  draft.exercise.claims.finish = end;
  draft.add_model("one of many", 1, draft.timeline().bars, end);
  draft.exercise.writing_bars = draft.timeline().bars;
  draft.say("start", to_string(begin));
  draft.say("close", to_string(end));
}

/// {verse} and {chorus} with the chords that they begin on. Both are in the chart.
void verse_and_chorus(ExerciseDraft& draft) {
  const auto four_bars = [](const Loop& loop) { return loop.one_chord_a_bar() && loop.bars.size() == 4; };
  draft.take_loop([&](const Loop& loop) { return four_bars(loop) && loop.begins_on_tonic; });
  const std::vector<Chord> verse = draft.chords();
  const std::string numerals = draft.exercise.numerals;
  Progression both = draft.exercise.progression;
  both.sections.front().name = "Verse";
  const auto choruses = draft.possible_loops([&](const Loop& loop) {
    return four_bars(loop) && !loop.chords(draft.key()).front().root.sounds_like(verse.front().root);
  });
  const Loop& chosen = *choruses[draft.variation.pick(choruses.size())];
  std::vector<Chord> chorus = chosen.chords(draft.key());
  // The first levels may have no loop that does not begin on the tonic: then the verse from its middle.
  if (chorus.front().root.sounds_like(verse.front().root)) {
    chorus = verse;
    std::size_t turn = 1;
    while (turn + 1 < chorus.size() && chorus[turn].root.sounds_like(verse.front().root)) ++turn;
    std::rotate(chorus.begin(), chorus.begin() + static_cast<std::ptrdiff_t>(turn), chorus.end());
  }
  std::vector<std::vector<Chord>> bars;
  bars.reserve(chorus.size());
  for (const Chord& chord : chorus) bars.push_back({chord});
  Section section = progression_of(bars, draft.key()).sections.front();
  section.name = "Chorus";
  both.sections.push_back(std::move(section));
  draft.take(std::move(both), draft.key());
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  draft.take_pentatonic();
  draft.exercise.writing_bars = draft.timeline().bars;
  draft.say("verse", with_dashes(verse));
  draft.say("chorus", with_dashes(chorus));
  draft.say("verse_first", to_string(verse.front()));
  draft.say("chorus_first", to_string(chorus.front()));
}

void words_to_melody(ExerciseDraft& draft) {
  draft.take_chords();
  draft.take_meter();
  draft.take_twist();
  draft.take_pentatonic();
  draft.exercise.writing_bars = draft.timeline().bars;
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
