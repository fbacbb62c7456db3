#include <algorithm>
#include <array>
#include <functional>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"
#include "progressions/level.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

/// Writes rows of chords in close position as notes, one after another.
class Playing {
 public:
  explicit Playing(ExerciseDraft& draft) : sketch_(draft) {}

  /// Adds a row under a name of its own. @param pause after it @param top also the chords and not the bass alone
  void add(const std::string& name, const std::vector<Chord>& chords, Beats pause = Beats(4), bool top = true) {
    std::vector<std::vector<Chord>> bars;
    for (const Chord& chord : chords) bars.push_back({chord});
    Progression row = progression_of(bars, sketch_.key());
    const Hands hands = hands_for(romanesca::timeline(row, sketch_.key()), {});
    for (const HandsChord& chord : hands.chords) {
      for (const Pitch& note : chord.left) strike(note, bass_velocity);
      for (const Pitch& note : chord.right) {
        if (top) strike(note, chord_velocity);
      }
      bass.push_back(chord.left.front());
      now_ += chord_length;
    }
    now_ += pause;
    row.sections.front().name = name;
    all_.sections.push_back(std::move(row.sections.front()));
  }

  /// Gives the exercise its sound and its chords, none of which the student sees.
  void finish() {
    Exercise& exercise = sketch_.exercise;
    exercise.heard = std::move(events_);
    exercise.heard_length = now_;
    if (all_.sections.size() == 1) all_.sections.front().name.clear();
    sketch_.take(std::move(all_), sketch_.key());
    for (std::size_t i = 0; i < sketch_.chords().size(); ++i) exercise.hidden.push_back(i);
  }

  std::vector<Pitch> bass;

 private:
  static constexpr Beats chord_length{2};
  static constexpr std::uint8_t bass_velocity = 88;
  static constexpr std::uint8_t chord_velocity = 68;

  void strike(const Pitch& note, std::uint8_t velocity) {
    events_.push_back({now_, chord_length, static_cast<std::uint8_t>(note.midi()), velocity, 0});
  }

  ExerciseDraft& sketch_;
  Progression all_;
  std::vector<NoteEvent> events_;
  Beats now_;
};

/// So many chords of the key, none twice in a row unless it may.
std::vector<Chord> drawn(ExerciseDraft& draft, std::size_t count, bool may_repeat, const std::vector<Chord>& from) {
  std::vector<Chord> chords;
  while (chords.size() < count) {
    std::vector<Chord> left = from;
    if (!may_repeat && !chords.empty()) left.erase(std::find(left.begin(), left.end(), chords.back()));
    chords.push_back(left[draft.variation.pick(left.size())]);
  }
  return chords;
}

std::vector<Chord> palette(const ExerciseDraft& draft) { return playable_triads(draft.key(), draft.level()); }

ExerciseAnswer words(std::string asks, std::vector<std::vector<std::string>> solution, std::vector<std::string> all) {
  return {AnswerRule::words, std::move(asks), std::move(solution), std::move(all), {}};
}

/// {count} of sounds, {steps} between them.
void bass_up_or_down(ExerciseDraft& draft) {
  const std::size_t count = draft.level().number <= 2 ? 5 : draft.level().number <= 5 ? 6 : 7;
  Playing playing(draft);
  // At the first levels only the bass is heard.
  playing.add("", drawn(draft, count, true, palette(draft)), Beats(4), draft.level().number > 2);
  std::vector<std::vector<std::string>> solution;
  for (std::size_t i = 1; i < count; ++i) {
    const int step = playing.bass[i].midi() - playing.bass[i - 1].midi();
    solution.push_back({step > 0 ? "up" : step < 0 ? "down" : "same"});
  }
  playing.finish();
  draft.say("count", number_word(count));
  draft.say("steps", number_word(count - 1));
  draft.exercise.answer = words("Write up, down or same for each step.", std::move(solution), {"up", "down", "same"});
}

/// {count} of chords.
void major_or_minor(ExerciseDraft& draft) {
  const std::size_t count = draft.level().number <= 2 ? 4 : draft.level().number <= 5 ? 5 : 6;
  std::vector<Chord> triads;
  for (int degree = 1; degree <= 7; ++degree) {
    const Chord chord = draft.key().diatonic_chord(degree, 3);
    if (!chord.type.is_diminished()) triads.push_back(chord);
  }
  const std::vector<Chord> chords = drawn(draft, count, false, triads);
  Playing playing(draft);
  playing.add("", chords);
  playing.finish();
  std::vector<std::vector<std::string>> solution;
  for (const Chord& chord : chords) solution.push_back({chord.type.is_minor() ? "minor" : "major"});
  draft.say("count", number_word(count));
  draft.exercise.answer = words("Write major or minor for each chord.", std::move(solution), {"major", "minor"});
}

/// Loops of four triads, for the ear.
bool four_triads(const Loop& loop) {
  return loop.one_chord_a_bar() && loop.bars.size() == 4 &&
         std::all_of(loop.bars.begin(), loop.bars.end(), [](const auto& bar) { return bar.front().type.size() == 3; });
}

/// The same with diatonic chords only, which can be rotated and combined with any other.
bool four_triads_of_the_key(const Loop& loop) { return four_triads(loop) && loop.in_key; }

std::vector<Chord> drawn_loop(ExerciseDraft& draft, const std::function<bool(const Loop&)>& accept) {
  const auto possible = draft.possible_loops(accept);
  return possible[draft.variation.pick(possible.size())]->chords(draft.key());
}

/// {place} of the chord asked for, {home_chord}, {choice} of chords.
void which_chord(ExerciseDraft& draft) {
  const std::vector<Chord> chords = drawn_loop(draft, four_triads);
  const std::size_t place = 1 + draft.variation.pick(chords.size() - 1);
  Playing playing(draft);
  playing.add("", chords);
  playing.finish();
  const Chord& asked = chords[place];
  const auto next = place + 1 < chords.size() ? std::optional(chords[place + 1]) : std::nullopt;
  std::vector<Chord> choice = palette(draft);
  if (std::find(choice.begin(), choice.end(), asked) == choice.end()) choice.push_back(asked);
  draft.say("place", std::to_string(place + 1));
  draft.say("home_chord", to_string(draft.key().diatonic_chord(1, 3)));
  draft.say("choice", listed(names_of(choice)));
  draft.exercise.answer = words("Write the name of the chord.",
                                {{to_string(asked), to_string(read_chord(asked, draft.key(), next).numeral)}}, {});
}

/// The row with one chord after the first changed for another of the key.
std::vector<Chord> changed(ExerciseDraft& draft, std::vector<Chord> row) {
  const std::size_t place = 1 + draft.variation.pick(row.size() - 1);
  std::vector<Chord> others = palette(draft);
  others.erase(std::remove(others.begin(), others.end(), row[place]), others.end());
  row[place] = others[draft.variation.pick(others.size())];
  return row;
}

/// {count} of pairs.
void same_or_different(ExerciseDraft& draft) {
  const std::size_t count = draft.level().number <= 4 ? 3 : 4;
  Playing playing(draft);
  std::vector<std::vector<std::string>> solution;
  for (std::size_t pair = 1; pair <= count; ++pair) {
    const std::vector<Chord> row = drawn_loop(draft, four_triads_of_the_key);
    const bool same = draft.variation.pick(2) == 0;
    playing.add("Pair " + std::to_string(pair), row, Beats(2));
    playing.add("Pair " + std::to_string(pair) + ", again", same ? row : changed(draft, row), Beats(6));
    solution.push_back({same ? "same" : "different"});
  }
  playing.finish();
  draft.say("count", number_word(count));
  draft.exercise.answer = words("Write same or different for each pair.", std::move(solution), {"same", "different"});
}

/// {count} of chords, {choice} of roots.
void sing_the_root(ExerciseDraft& draft) {
  constexpr std::size_t count = 6;
  const std::vector<Chord> from = palette(draft);
  std::vector<Chord> chords = drawn(draft, count, false, from);
  std::vector<std::vector<std::string>> solution;
  for (Chord& chord : chords) {
    solution.push_back({to_string(chord.root)});
    // Where the level plays inversions, the root need not be the lowest note.
    const bool turn = draft.level().inversions > 0 && draft.variation.pick(2) == 1;
    if (turn) chord.bass = chord.tones()[1];
  }
  Playing playing(draft);
  playing.add("", chords);
  playing.finish();
  std::vector<PitchClass> roots;
  for (const Chord& chord : from) roots.push_back(chord.root);
  draft.say("count", number_word(count));
  draft.say("choice", listed(roots));
  draft.exercise.answer = words("Write the names of the roots.", std::move(solution), {});
}

/// {count} of rounds.
void where_is_home(ExerciseDraft& draft) {
  const std::size_t count = draft.level().number <= 4 ? 3 : 4;
  const auto has_home = [&](const Loop& loop) { return four_triads_of_the_key(loop) && loop.begins_on_tonic; };
  Playing playing(draft);
  std::vector<std::vector<std::string>> solution;
  for (std::size_t round = 1; round <= count; ++round) {
    std::vector<Chord> row = drawn_loop(draft, has_home);
    std::rotate(row.begin(), row.begin() + static_cast<std::ptrdiff_t>(draft.variation.pick(row.size())), row.end());
    playing.add("Round " + std::to_string(round), row);
    std::vector<std::string> places;
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (row[i].root == draft.key().tonic) places.push_back(std::to_string(i + 1));
    }
    solution.push_back(std::move(places));
  }
  playing.finish();
  draft.say("count", number_word(count));
  draft.exercise.answer = words("Write one number for each round.", std::move(solution), {"1", "2", "3", "4"});
}

}  // namespace

std::span<const ExerciseBuilder> ear_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"bass-up-or-down", bass_up_or_down}, ExerciseBuilder{"major-or-minor", major_or_minor},
      ExerciseBuilder{"which-chord", which_chord},         ExerciseBuilder{"same-or-different", same_or_different},
      ExerciseBuilder{"sing-the-root", sing_the_root},     ExerciseBuilder{"where-is-home", where_is_home},
  };
  return builders;
}

}  // namespace romanesca
