#include <algorithm>
#include <array>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"
#include "progressions/exercises/phrase.h"

namespace romanesca {
namespace {

/// A phrase of four bars that begins and ends at home.
bool is_piece(const Loop& loop) {
  return loop.bars.size() == 4 && loop.one_chord_a_bar() && loop.in_key && loop.begins_on_tonic && loop.ends_on_tonic;
}

/// Chords, meter and rhythm of a piece, the same for all its sheets with one seed.
void take_piece(ExerciseDraft& draft) {
  draft.use_plain_mode();
  draft.take_loop(is_piece);
  draft.take_meter();
  draft.take_rhythm();
}

/// The same for a step of the student's own piece: where that is given, its chords, and its tune so far.
/// @param finishes the step asks for an end that sounds finished
void take_own_piece(ExerciseDraft& draft, bool finishes) {
  draft.use_plain_mode();
  draft.take_chords(is_piece);
  if (finishes) draft.come_home();
  draft.take_own_tune();
  draft.take_meter();
  draft.take_rhythm();
}

/// {palette} of chords.
void piece_chords(ExerciseDraft& draft) {
  take_own_piece(draft, false);
  draft.take_twist();
  draft.take_hands(draft.hand_settings(), true, true);
  draft.offer_chords(draft.chords());
}

void piece_rhythm(ExerciseDraft& draft) {
  take_own_piece(draft, false);
  draft.take_twist();
  draft.exercise.writing_bars = draft.timeline().bars;
}

/// {start} and {close}: first and last note.
void piece_chord_tones(ExerciseDraft& draft) {
  take_own_piece(draft, true);
  draft.take_twist();
  draft.take_safe_notes();
  draft.exercise.writing_bars = draft.timeline().bars;
  const auto tones = draft.chords().front().tones();
  draft.exercise.claims.finish = draft.key().tonic;
  draft.say("start", to_string(tones[draft.variation.pick(tones.size())]));
  draft.say("close", to_string(draft.key().tonic));
  draft.add_chord_tone_model("one of many", 1, draft.timeline().bars);
}

void piece_passing_notes(ExerciseDraft& draft) {
  take_own_piece(draft, true);
  draft.take_twist();
  draft.take_safe_notes();
  const auto scale = draft.key().scale();
  draft.exercise.notes.assign(scale.begin(), scale.end());
  draft.exercise.claims.finish = draft.key().tonic;
  draft.exercise.writing_bars = draft.timeline().bars;
  draft.add_model("one of many", 1, draft.timeline().bars, draft.key().tonic);
}

/// {away}: the chord that the second part begins on, {dominant}.
void piece_second_part(ExerciseDraft& draft) {
  take_own_piece(draft, false);
  draft.take_twist();
  PhraseShape shape;
  shape.from_home = false;
  shape.meets_home = false;
  shape.ending = CadenceKind::half;
  const auto model = phrase(draft.variation, draft.key(), playable_triads(draft.key(), draft.level()), shape);
  ExerciseAnswer answer;
  answer.rule = AnswerRule::bridge;
  answer.asks = "Write the four chords of your second part.";
  for (const Chord& chord : model) answer.solution.push_back({to_string(chord)});
  draft.exercise.answer = std::move(answer);
  draft.exercise.writing_bars = 4;
  draft.exercise.writes_own_chords = true;
  draft.say("away", to_string(model.front()));
  draft.say("dominant", to_string(model.back()));
}

/// {close}: the last note.
void piece_ending(ExerciseDraft& draft) {
  take_own_piece(draft, true);
  draft.take_twist();
  draft.exercise.writing_bars = 4;
  draft.exercise.writes_own_chords = true;
  draft.exercise.claims.finish = draft.key().tonic;
  draft.say("close", to_string(draft.key().tonic));
}

/// {line}: the names of the tune's notes, {palette}.
void harmonise_a_tune(ExerciseDraft& draft) {
  take_piece(draft);
  draft.take_twist();
  const auto scale = draft.key().scale();
  draft.exercise.notes.assign(scale.begin(), scale.end());
  draft.add_model("the tune", 1, draft.timeline().bars, draft.key().tonic);
  draft.exercise.melody = draft.exercise.models.front().notes;
  draft.exercise.models.clear();
  draft.exercise.notes.clear();
  for (int bar = 1; bar <= draft.timeline().bars; ++bar) draft.hide_bar(bar);
  ExerciseAnswer answer;
  answer.rule = AnswerRule::fits_melody;
  answer.asks = "Write one chord for each bar.";
  for (std::size_t i = 0; i < draft.chords().size(); ++i) {
    const TimedChord& timed = draft.timeline().chords[i];
    std::vector<std::string> fitting{to_string(draft.chords()[i])};
    const auto first = std::find_if(draft.exercise.melody.begin(), draft.exercise.melody.end(),
                                    [&](const MelodyNote& note) { return note.start >= timed.start; });
    for (const Chord& chord : playable_triads(draft.key(), draft.level())) {
      if (first != draft.exercise.melody.end() && holds(chord, first->pitch.name()) &&
          to_string(chord) != fitting.front()) {
        fitting.push_back(to_string(chord));
      }
    }
    answer.solution.push_back(std::move(fitting));
  }
  draft.exercise.answer = std::move(answer);
  draft.offer_chords(draft.chords());
  draft.say("last_chord", to_string(draft.chords().back()));
}

/// {one}, {four} and {five}: the three chords.
void twelve_bars(ExerciseDraft& draft) {
  const auto [one, four, five] = draft.take_twelve_bar_blues(false);
  draft.exercise.writing_bars = 12;
  draft.say("one", to_string(one));
  draft.say("four", to_string(four));
  draft.say("five", to_string(five));
}

/// The sections A, A, B, A: {a} and {b} are their chords.
void aaba(ExerciseDraft& draft) {
  take_piece(draft);
  const std::vector<Chord> first = draft.chords();
  PhraseShape shape;
  shape.from_home = false;
  shape.meets_home = false;
  shape.ending = CadenceKind::half;
  const auto middle = phrase(draft.variation, draft.key(), playable_triads(draft.key(), draft.level()), shape);
  const Meter meter = draft.timeline().meter();
  Progression whole;
  for (const auto& [name, row] : {std::pair<std::string, const std::vector<Chord>&>{"A", first},
                                  {"A again", first},
                                  {"B", middle},
                                  {"A at the end", first}}) {
    std::vector<std::vector<Chord>> bars;
    for (const Chord& chord : row) bars.push_back({chord});
    Section section = progression_of(bars, draft.key()).sections.front();
    section.name = name;
    whole.sections.push_back(std::move(section));
  }
  draft.take(std::move(whole), draft.key());
  draft.exercise.progression.written_meter = meter;
  draft.take(draft.exercise.progression, draft.key());
  draft.take_twist();
  draft.exercise.writing_bars = 8;
  draft.exercise.claims.finish = draft.key().tonic;
  draft.say("a", with_dashes(first));
  draft.say("b", with_dashes(middle));
}

}  // namespace

std::span<const ExerciseBuilder> compose_piece_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"piece-chords", piece_chords},
      ExerciseBuilder{"piece-rhythm", piece_rhythm},
      ExerciseBuilder{"piece-chord-tones", piece_chord_tones},
      ExerciseBuilder{"piece-passing-notes", piece_passing_notes},
      ExerciseBuilder{"piece-second-part", piece_second_part},
      ExerciseBuilder{"piece-ending", piece_ending},
      ExerciseBuilder{"harmonise-a-tune", harmonise_a_tune},
      ExerciseBuilder{"twelve-bars", twelve_bars},
      ExerciseBuilder{"aaba", aaba},
  };
  return builders;
}

}  // namespace romanesca
