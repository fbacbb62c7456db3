#include <algorithm>
#include <array>
#include <bit>
#include <functional>
#include <iterator>
#include <optional>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"
#include "progressions/exercises/level_step.h"
#include "progressions/exercises/phrase.h"
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

std::vector<Chord> palette(const ExerciseDraft& draft) { return playable_triads(draft.key(), draft.level()); }

/// Triads to hear, which come before those to play: at level 1 the three main ones and the sixth, then all but the
/// diminished.
std::vector<Chord> heard_triads(const ExerciseDraft& draft) {
  std::vector<Chord> triads = playable_triads(draft.key(), romanesca::level(8));
  if (draft.level().number > 1) return triads;
  std::erase_if(triads, [&](const Chord& chord) {
    const int letters = (chord.root - draft.key().tonic).number();
    return letters == 2 || letters == 3 || letters == 7;
  });
  return triads;
}

ExerciseAnswer words(std::string asks, std::vector<std::vector<std::string>> solution, std::vector<std::string> all) {
  return {AnswerRule::words, std::move(asks), std::move(solution), std::move(all), {}};
}

/// {count} of sounds, {steps} between them.
void bass_up_or_down(ExerciseDraft& draft) {
  const auto count = static_cast<std::size_t>(level_step(draft.level().number).questions) + 1;
  Playing playing(draft);
  // At the first levels only the bass is heard.
  PhraseShape shape;
  shape.count = count;
  shape.may_repeat = true;
  shape.ending.reset();
  shape.from_home = draft.variation.pick(2) == 0;
  playing.add("", phrase(draft.variation, draft.key(), heard_triads(draft), shape), Beats(4), draft.level().number > 2);
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
  const auto count = static_cast<std::size_t>(level_step(draft.level().number).questions) + 1;
  const std::vector<Chord> triads = playable_triads(draft.key(), romanesca::level(8));
  PhraseShape shape;
  shape.count = count;
  shape.both_kinds = true;
  shape.ending.reset();
  shape.from_home = draft.variation.pick(2) == 0;
  const std::vector<Chord> chords = phrase(draft.variation, draft.key(), triads, shape);
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

/// Loops of four chords of any kind: for the levels that know sevenths.
bool four_chords(const Loop& loop) { return loop.one_chord_a_bar() && loop.bars.size() == 4; }

std::vector<Chord> drawn_loop(ExerciseDraft& draft, const std::function<bool(const Loop&)>& accept) {
  const auto possible = draft.possible_loops(accept);
  return possible[draft.variation.pick(possible.size())]->chords(draft.key());
}

/// {place} of the chord asked for, {home_chord}, {choice} of chords.
void which_chord(ExerciseDraft& draft) {
  const std::vector<Chord> chords = drawn_loop(draft, draft.level().number >= 5 ? four_chords : four_triads);
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
  draft.exercise.claims.offered = names_of(choice);
  draft.say("choice", listed(draft.exercise.claims.offered));
  draft.exercise.answer = words("Write the name of the chord.",
                                {{to_string(asked), to_string(read_chord(asked, draft.key(), next).numeral)}}, {});
}

/// Whether it is a phrase: it meets its tonic, and closes in a cadence or turns round into its first chord by one.
bool is_phrase(const std::vector<Chord>& row, const Key& key) {
  const bool meets = std::any_of(row.begin(), row.end(), [&](const Chord& chord) { return chord.root == key.tonic; });
  const auto closes = [&](const Chord& before, const Chord& here) {
    return cadence_between(before, here, key).has_value() || closes_from_seventh(before, here, key);
  };
  const auto round = cadence_between(row.back(), row.front(), key);
  return meets && (closes(row[row.size() - 2], row.back()) || round == CadenceKind::authentic ||
                   round == CadenceKind::plagal || closes_from_seventh(row.back(), row.front(), key));
}

/// How many chords a row has: four at first, one more every second level.
std::size_t row_length(const ExerciseDraft& draft) {
  return 4 + static_cast<std::size_t>(draft.level().number - 1) / 2;
}

/// The row with one chord after the first changed for another of the key, so that it is still a phrase. The higher the
/// level the more tones the two have in common. Nothing where no chord can be changed.
std::optional<std::vector<Chord>> changed(ExerciseDraft& draft, const std::vector<Chord>& row) {
  const Key key = draft.key();
  std::vector<std::pair<int, std::vector<Chord>>> others;  // shared tones, and the row
  for (std::size_t place = 1; place < row.size(); ++place) {
    for (const Chord& chord : palette(draft)) {
      if (chord.root == row[place].root) continue;
      std::vector<Chord> other = row;
      other[place] = chord;
      bool goes = is_phrase(other, key);
      for (std::size_t i = 1; i < other.size(); ++i) goes = goes && songs_go(other[i - 1], other[i], key);
      const int shared = std::popcount(chord.sounding_tones() & row[place].sounding_tones());
      if (goes) others.emplace_back(shared, std::move(other));
    }
  }
  if (others.empty()) return std::nullopt;
  const bool near = draft.level().number >= 5;
  const auto differs = [&](const auto& each) { return near ? each.first < 2 : each.first >= 2; };
  if (!std::all_of(others.begin(), others.end(), differs)) std::erase_if(others, differs);
  return others[draft.variation.pick(others.size())].second;
}

/// {count} of pairs.
void same_or_different(ExerciseDraft& draft) {
  const auto count = static_cast<std::size_t>(level_step(draft.level().number).rounds);
  Playing playing(draft);
  std::vector<std::vector<std::string>> solution;
  for (std::size_t pair = 1; pair <= count; ++pair) {
    PhraseShape shape;
    shape.count = row_length(draft);
    shape.ending.reset();
    const std::vector<Chord> row = phrase(draft.variation, draft.key(), heard_triads(draft), shape);
    const auto other = draft.variation.pick(2) == 0 ? std::nullopt : changed(draft, row);
    playing.add("Pair " + std::to_string(pair), row, Beats(2));
    playing.add("Pair " + std::to_string(pair) + ", again", other.value_or(row), Beats(6));
    solution.push_back({other ? "different" : "same"});
  }
  playing.finish();
  draft.say("count", number_word(count));
  draft.exercise.answer = words("Write same or different for each pair.", std::move(solution), {"same", "different"});
}

/// {count} of chords, {choice} of roots.
void sing_the_root(ExerciseDraft& draft) {
  const auto count = static_cast<std::size_t>(level_step(draft.level().number).questions) + 2;
  const std::vector<Chord> from = heard_triads(draft);
  PhraseShape shape;
  shape.count = count;
  shape.ending.reset();
  shape.from_home = draft.variation.pick(2) == 0;
  std::vector<Chord> chords = phrase(draft.variation, draft.key(), from, shape);
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
  for (const PitchClass root : roots) draft.exercise.claims.offered.push_back(to_string(root));
  draft.say("choice", listed(roots));
  draft.exercise.answer = words("Write the names of the roots.", std::move(solution), {});
}

/// The turns of a row, which ends in a cadence on the tonic, that keep the cadence together.
std::vector<std::vector<Chord>> turns_that_show_home(const std::vector<Chord>& row) {
  std::vector<std::vector<Chord>> found;
  std::vector<Chord> turned = row;
  for (std::size_t turn = 0; turn + 1 < row.size(); ++turn) {
    found.push_back(turned);
    std::rotate(turned.begin(), turned.begin() + 1, turned.end());
  }
  return found;
}

/// {count} of rounds.
void where_is_home(ExerciseDraft& draft) {
  draft.use_plain_mode();  // where home is without a doubt
  const auto count = static_cast<std::size_t>(level_step(draft.level().number).rounds);
  const std::size_t length = row_length(draft);
  Playing playing(draft);
  std::vector<std::vector<std::string>> solution;
  for (std::size_t round = 1; round <= count; ++round) {
    PhraseShape shape;
    shape.count = length;
    shape.from_home = draft.variation.pick(2) == 0;
    // From level 5 on the gentle ending too.
    if (draft.level().number >= 5 && draft.variation.pick(3) == 0) shape.ending = CadenceKind::plagal;
    const auto turns = turns_that_show_home(phrase(draft.variation, draft.key(), heard_triads(draft), shape));
    const std::vector<Chord>& row = turns[draft.variation.pick(turns.size())];
    playing.add("Round " + std::to_string(round), row);
    std::vector<std::string> places;
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (row[i].root == draft.key().tonic) places.push_back(std::to_string(i + 1));
    }
    solution.push_back(std::move(places));
  }
  playing.finish();
  std::vector<std::string> numbers;
  for (std::size_t number = 1; number <= length; ++number) numbers.push_back(std::to_string(number));
  draft.say("count", number_word(count));
  draft.say("length", number_word(length));
  draft.exercise.answer = words("Write one number for each round.", std::move(solution), std::move(numbers));
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
