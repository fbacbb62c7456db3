#include <algorithm>
#include <array>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"
#include "progressions/exercises/model_tune.h"

namespace romanesca {
namespace {

/// {note}: the one that most of the chords hold, the tonic first.
void one_note_rhythm(ExerciseDraft& draft) {
  draft.take_chords();
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  const auto count = [&](PitchClass note) {
    return std::count_if(draft.chords().begin(), draft.chords().end(),
                         [&](const Chord& chord) { return holds(chord, note); });
  };
  std::vector<PitchClass> candidates{draft.key().tonic, draft.key().degree(5), draft.key().degree(3)};
  const PitchClass note = *std::max_element(candidates.begin(), candidates.end(),
                                            [&](PitchClass a, PitchClass b) { return count(a) < count(b); });
  draft.exercise.notes = {note};
  draft.exercise.claims.asked = {note};
  draft.say("note", to_string(note));
}

/// {tones} of the chords, {beats} in the bar.
void chord_tones_only(ExerciseDraft& draft) {
  draft.take_chords([](const Loop& loop) { return loop.one_chord_a_bar(); });
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  std::string text;
  std::vector<Chord> named;
  for (const Chord& chord : draft.chords()) {
    if (named.size() == 3 || std::find(named.begin(), named.end(), chord) != named.end()) continue;
    named.push_back(chord);
    text += (text.empty() ? "" : ", ") + to_string(chord) + " is";
    for (const PitchClass tone : chord.tones()) text += " " + to_string(tone);
  }
  draft.say("tones", text);
  draft.add_chord_tone_model("one of many", 1, draft.timeline().bars);
}

/// {call} bars of the call, {close}: the last note of the answer.
void call_and_response(ExerciseDraft& draft) {
  draft.take_chords([](const Loop& loop) { return loop.bars.size() % 2 == 0 && loop.ends_on_tonic; });
  draft.come_home();
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  draft.take_pentatonic();
  const int half = std::max(1, draft.timeline().bars / 2);
  // The call stops on a note of its chord that is not home.
  const Chord& waits = draft.chord_in_bar(half);
  std::optional<PitchClass> open;
  for (const PitchClass note : draft.exercise.notes) {
    if (!note.sounds_like(draft.key().tonic) && holds(waits, note)) open = note;
  }
  draft.add_model("the band's call", 1, half, open);
  draft.exercise.claims.finish = draft.key().tonic;
  draft.exercise.claims.asked = {draft.key().tonic};
  draft.say("call", half == 1 ? "one bar" : number_word(static_cast<std::size_t>(half)) + " bars");
  draft.say("close", to_string(draft.key().tonic));
}

/// {first_note} of the motif.
void motif_over_eight_bars(ExerciseDraft& draft) {
  draft.take_loop([](const Loop& loop) {
    return loop.bars.size() == 4 && loop.one_chord_a_bar() && loop.begins_on_tonic && loop.ends_on_tonic;
  });
  std::vector<std::vector<Chord>> bars;
  for (int time = 0; time < 2; ++time) {
    for (const Chord& chord : draft.chords()) bars.push_back({chord});
  }
  draft.take(progression_of(bars, draft.key()), draft.key());
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  draft.take_pentatonic();
  draft.exercise.claims.finish = draft.key().tonic;
  draft.add_model("the motif, bars 1 and 2", 1, 2, {});
  std::vector<MelodyNote> motif;
  if (!draft.exercise.models.empty()) motif = draft.exercise.models.front().notes;
  draft.add_model("changed, bars 5 and 6", 5, 6, {}, motif);
  draft.add_model("the end, bars 7 and 8", 7, 8, draft.key().tonic);
  draft.say("first_note", motif.empty() ? to_string(draft.key().tonic) : to_string(motif.front().pitch.name()));
}

/// {four} and {five}: its chords beside the tonic's.
void blues_phrases(ExerciseDraft& draft) {
  const auto [one, four, five] = draft.take_twelve_bar_blues(true);
  draft.exercise.claims.finish = draft.key().tonic;
  draft.add_model("call, bars 1 and 2", 1, 2, {});
  std::vector<MelodyNote> call;
  if (!draft.exercise.models.empty()) call = draft.exercise.models.front().notes;
  draft.add_model("the same again, bars 5 and 6", 5, 6, {}, call);
  draft.add_model("answer, bars 9 and 10", 9, 10, draft.key().tonic);
  draft.say("four", to_string(four));
  draft.say("five", to_string(five));
}

/// {few}, {middle} and {many}: how often the chord is struck in a bar, in words.
void comping_densities(ExerciseDraft& draft) {
  draft.take_chords([](const Loop& loop) { return loop.one_chord_a_bar(); });
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  draft.take_hands(draft.hand_settings(), true, true);
  const Meter meter = draft.timeline().meter();
  const Beats bar = meter.bar_length();
  const Pitch line(PitchClass(5), 4);
  draft.exercise.models.push_back({"few", {{Beats(), bar, line}}, true});
  ExerciseTune middle{"middle", {}, true};
  for (const RhythmNote& note : draft.exercise.rhythm) middle.notes.push_back({note.start, note.length, line});
  draft.exercise.models.push_back(std::move(middle));
  ExerciseTune many{"many", {}, true};
  const Beats step = meter.is_compound() ? meter.beat_length() : meter.beat_length() / 2;
  for (Beats at; at < bar; at += step) many.notes.push_back({at, step, line});
  draft.exercise.models.push_back(std::move(many));
}

}  // namespace

std::span<const ExerciseBuilder> improvise_form_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"one-note-rhythm", one_note_rhythm},
      ExerciseBuilder{"chord-tones-only", chord_tones_only},
      ExerciseBuilder{"call-and-response", call_and_response},
      ExerciseBuilder{"motif-over-eight-bars", motif_over_eight_bars},
      ExerciseBuilder{"blues-phrases", blues_phrases},
      ExerciseBuilder{"comping-densities", comping_densities},
  };
  return builders;
}

}  // namespace romanesca
