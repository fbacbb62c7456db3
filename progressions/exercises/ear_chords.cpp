#include <algorithm>
#include <array>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/ear_sound.h"
#include "progressions/exercises/level_step.h"
#include "progressions/exercises/phrase.h"
#include "theory/chords/numeral_text.h"
#include "theory/voicing/voicing.h"

namespace romanesca {
namespace {

/// How a kind of chord is written in an answer: "major", "minor", else what stands after the root.
std::string kind_name(ChordType type) {
  const std::string symbol = to_string(Chord::on(PitchClass(), type)).substr(1);
  return symbol.empty() ? "major" : symbol == "m" ? "minor" : symbol;
}

std::vector<std::size_t> confused_places(const ExerciseDraft& draft, const std::vector<std::string>& words) {
  std::vector<std::size_t> places;
  for (const std::string& word : draft.confused()) {
    const auto found = std::find(words.begin(), words.end(), word);
    if (found != words.end()) places.push_back(static_cast<std::size_t>(found - words.begin()));
  }
  return places;
}

/// The chord in close position, the given tone of it lowest, near middle C.
std::vector<Pitch> close_position(const Chord& chord, std::size_t lowest_tone) {
  const auto tones = chord.tones();
  std::vector<Pitch> pitches;
  for (std::size_t i = 0; i < tones.size(); ++i) {
    const PitchClass tone = tones[(lowest_tone + i) % tones.size()];
    pitches.push_back(lowest_at_or_above(tone, pitches.empty() ? 57 : pitches.back().midi() + 1));
  }
  return pitches;
}

/// {count} of chords, {names} to choose from.
void chord_kinds(ExerciseDraft& draft) {
  const LevelStep& step = level_step(draft.level().number);
  std::vector<std::string> names;
  for (const ChordType type : step.chords) names.push_back(kind_name(type));
  const auto asked =
      questions_from(draft, names.size(), static_cast<std::size_t>(step.questions), confused_places(draft, names));
  EarSound sound(draft);
  std::vector<std::vector<std::string>> solution;
  std::vector<Chord> row;
  for (const std::size_t which : asked) {
    // On a note of the key, so that the roots are spelled simply.
    const Chord chord =
        Chord::on(draft.key().degree(1 + static_cast<int>(draft.variation.pick(6))), step.chords[which]);
    const auto pitches = close_position(chord, 0);
    sound.together(pitches, Beats(2));
    // The first levels hear the notes one after another too.
    if (draft.level().number <= 4) {
      for (const Pitch& pitch : pitches) sound.note(pitch, Beats(1, 2));
    }
    sound.rest(Beats(3));
    solution.push_back({names[which]});
    row.push_back(chord);
  }
  sound.finish({draft.key().diatonic_chord(1, 3)});
  draft.say("count", number_word(asked.size()));
  draft.say("names", listed(names));
  draft.exercise.answer =
      answer_in_words("Write the kind of each chord: " + listed(names) + ".", std::move(solution), names);
}

/// {count} of chords, {names} to choose from.
void inversions_by_ear(ExerciseDraft& draft) {
  const LevelStep& step = level_step(draft.level().number);
  const std::vector<std::string> all{"root", "first", "second", "third"};
  const std::vector<std::string> names(all.begin(), all.begin() + std::max(2, step.inversions + 1));
  const auto asked =
      questions_from(draft, names.size(), static_cast<std::size_t>(step.questions), confused_places(draft, names));
  EarSound sound(draft);
  std::vector<std::vector<std::string>> solution;
  const auto triads = playable_triads(draft.key(), draft.level());
  for (const std::size_t which : asked) {
    Chord chord = triads[draft.variation.pick(triads.size())];
    if (which == 3) chord = Chord::on(draft.key().degree(5), chord_types::dominant_seventh);
    const auto pitches = close_position(chord, which);
    sound.together(pitches, Beats(2));
    if (draft.level().number <= 4) sound.note(pitches.front(), Beats(1));
    sound.rest(Beats(3));
    solution.push_back({names[which]});
  }
  sound.finish({draft.key().diatonic_chord(1, 3)});
  draft.say("count", number_word(asked.size()));
  draft.say("names", listed(names));
  draft.exercise.answer =
      answer_in_words("Write for each chord: root for root position, else " +
                          listed(std::vector<std::string>(names.begin() + 1, names.end())) + " for the inversion.",
                      std::move(solution), names);
}

std::string cadence_word(CadenceKind kind) {
  const std::string term(cadence_term(kind));  // "a perfect cadence"
  const std::size_t from = term.find(' ') + 1;
  return term.substr(from, term.rfind(' ') - from);
}

/// {count} of phrases, {names} to choose from.
void cadences_by_ear(ExerciseDraft& draft) {
  draft.use_plain_mode();
  const LevelStep& step = level_step(draft.level().number);
  std::vector<std::string> names;
  for (const CadenceKind kind : step.cadences) names.push_back(cadence_word(kind));
  const auto asked =
      questions_from(draft, names.size(), static_cast<std::size_t>(step.rounds), confused_places(draft, names));
  EarSound sound(draft);
  std::vector<std::vector<std::string>> solution;
  const auto palette = playable_triads(draft.key(), romanesca::level(8));
  std::vector<Chord> last;
  for (const std::size_t which : asked) {
    PhraseShape shape;
    shape.count = draft.level().number <= 4 ? 4 : draft.level().number <= 6 ? 5 : 6;
    shape.ending = step.cadences[which];
    const auto row = phrase(draft.variation, draft.key(), palette, shape);
    sound.chords({row.begin(), row.end() - 1}, Beats(1));
    sound.chords({row.back()}, Beats(2));
    sound.rest(Beats(4));
    solution.push_back({names[which]});
    last = row;
  }
  sound.finish(last);
  draft.say("count", number_word(asked.size()));
  draft.say("names", listed(names));
  draft.exercise.answer =
      answer_in_words("Write the kind of each cadence: " + listed(names) + ".", std::move(solution), names);
}

/// {count} of chords in the loop, {choice} of chords, {home_chord}.
void loop_by_ear(ExerciseDraft& draft) {
  draft.use_plain_mode();
  const LevelStep& step = level_step(draft.level().number);
  const auto wanted = static_cast<std::size_t>(step.loop);
  const auto fits = [&](const Loop& loop) {
    if (!loop.one_chord_a_bar() || loop.bars.size() != 4 || !loop.begins_on_tonic) return false;
    if (!loop.in_key && draft.level().number < 4) return false;
    const auto chords = loop.chords(key_without_accidentals(draft.key().mode));
    std::vector<Chord> different;
    for (const Chord& chord : chords) {
      if (std::find(different.begin(), different.end(), chord) == different.end()) different.push_back(chord);
    }
    const bool triads =
        std::all_of(chords.begin(), chords.end(), [](const Chord& each) { return each.type.size() == 3; });
    return different.size() == wanted && (triads || draft.level().number >= 6);
  };
  draft.take_loop(fits);
  const std::vector<Chord> chords = draft.chords();
  EarSound sound(draft);
  const auto manner = static_cast<int>(draft.variation.pick(5));
  const int times = draft.variation.pick(2) == 0 ? 2 : 3;
  for (int time = 0; time < times; ++time) sound.chords(chords, Beats(2), manner);
  draft.say("times", times == 2 ? "twice" : "three times");
  sound.finish(chords);
  std::vector<std::vector<std::string>> solution;
  for (std::size_t i = 0; i < chords.size(); ++i) {
    const auto next = i + 1 < chords.size() ? std::optional(chords[i + 1]) : std::nullopt;
    solution.push_back({to_string(chords[i]), to_string(read_chord(chords[i], draft.key(), next).numeral)});
  }
  draft.offer_chords(chords);
  draft.say("choice", listed(draft.exercise.claims.offered));
  draft.say("count", number_word(wanted));
  draft.say("home_chord", to_string(draft.key().diatonic_chord(1, 3)));
  draft.exercise.answer = answer_in_words("Write the four chords in order.", std::move(solution), {});
}

/// {choice} of notes.
void bass_line_by_ear(ExerciseDraft& draft) {
  draft.use_plain_mode();
  PhraseShape shape;
  shape.count = static_cast<std::size_t>(std::max(draft.level().number, 4));
  shape.ending.reset();
  auto row = phrase(draft.variation, draft.key(), playable_triads(draft.key(), romanesca::level(8)), shape);
  // Some chords stand on another tone, where that makes the bass a line.
  const auto highest = static_cast<std::size_t>(std::min(2, level_step(draft.level().number).inversions));
  for (std::size_t i = 1; i + 1 < row.size(); ++i) {
    const std::size_t turn = draft.variation.pick(highest + 1);
    if (turn > 0) row[i].bass = row[i].tones()[turn];
  }
  EarSound sound(draft);
  for (int time = 0; time < 2; ++time) {
    sound.chords(row, Beats(2));
    sound.rest(Beats(4));
  }
  sound.finish(row);
  std::vector<std::vector<std::string>> solution;
  for (const Chord& chord : row) solution.push_back({to_string(chord.bass)});
  const auto scale = draft.key().scale();
  draft.say("count", number_word(row.size()));
  draft.say("choice", listed(std::vector<PitchClass>(scale.begin(), scale.end())));
  draft.exercise.answer = answer_in_words("Write the lowest note of each chord.", std::move(solution), {});
}

}  // namespace

std::span<const ExerciseBuilder> ear_chord_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"chord-kinds", chord_kinds},           ExerciseBuilder{"inversions-by-ear", inversions_by_ear},
      ExerciseBuilder{"cadences-by-ear", cadences_by_ear},   ExerciseBuilder{"loop-by-ear", loop_by_ear},
      ExerciseBuilder{"bass-line-by-ear", bass_line_by_ear},
  };
  return builders;
}

}  // namespace romanesca
