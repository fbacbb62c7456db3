#include <algorithm>
#include <array>
#include <cstdlib>
#include <set>
#include <utility>

#include "progressions/exercises/ear_sound.h"
#include "progressions/exercises/level_step.h"
#include "progressions/exercises/material.h"
#include "progressions/exercises/model_tune.h"

namespace romanesca {
namespace {

/// The places of the words that were confused before, in a list of all words.
std::vector<std::size_t> places_of(const ExerciseDraft& draft, const std::vector<std::string>& words) {
  std::vector<std::size_t> places;
  for (const std::string& word : draft.confused()) {
    const auto found = std::find(words.begin(), words.end(), word);
    if (found != words.end()) places.push_back(static_cast<std::size_t>(found - words.begin()));
  }
  return places;
}

/// {count} of intervals, {names} to choose from, {way} in which they go.
void intervals_by_ear(ExerciseDraft& draft) {
  const LevelStep& step = level_step(draft.level().number);
  std::vector<std::string> names;
  for (const Interval interval : step.intervals) names.push_back(to_string(interval));
  const auto asked =
      questions_from(draft, names.size(), static_cast<std::size_t>(step.questions), places_of(draft, names));
  const int level = draft.level().number;
  EarSound sound(draft);
  std::vector<std::vector<std::string>> solution;
  for (const std::size_t which : asked) {
    const Interval interval = step.intervals[which];
    // From a note of the key, so that no double accidental is needed.
    const Pitch low = lowest_at_or_above(draft.key().degree(1 + static_cast<int>(draft.variation.pick(5))), 55);
    const Pitch high = low + interval;
    const bool falls = level >= 3 && draft.variation.pick(3) == 0;
    sound.note(falls ? high : low, Beats(1));
    sound.note(falls ? low : high, Beats(2));
    if (level >= 7) sound.together({low, high}, Beats(2));
    sound.rest(Beats(2));
    solution.push_back({names[which]});
  }
  sound.finish({draft.key().diatonic_chord(1, 3)});
  draft.say("count", number_word(asked.size()));
  draft.say("names", listed(names));
  draft.say("way", level < 3 ? "upwards" : level < 7 ? "up or down" : "up or down, and then together");
  draft.exercise.answer =
      answer_in_words("Write the name of each interval: " + listed(names) + ".", std::move(solution), names);
}

/// The note of a degree like "5" or "b7", counted from the major scale on the tonic in major, else in the key.
PitchClass note_of_degree(const Key& key, const std::string& degree) {
  const bool altered = degree.front() == 'b' || degree.front() == '#';
  const PitchClass plain = key.degree(degree.back() - '0');
  if (!altered) return plain;
  return PitchClass(plain.fifths() + (degree.front() == 'b' ? -7 : 7));
}

/// The degrees that a level knows, in a key: what an altered one would double is left out.
std::vector<std::string> degrees_in(const Key& key, const LevelStep& step) {
  std::vector<std::string> degrees;
  for (const std::string& degree : step.degrees) {
    const PitchClass note = note_of_degree(key, degree);
    const bool altered = degree.size() > 1;
    const bool doubled = altered && std::any_of(step.degrees.begin(), step.degrees.end(), [&](const std::string& each) {
                           return each != degree && note_of_degree(key, each).sounds_like(note);
                         });
    // In minor the scale has its own b3, b6 and b7.
    if (!doubled && !(altered && is_minorish(key.mode) && degree.front() == 'b')) degrees.push_back(degree);
  }
  return degrees;
}

/// {count} of notes, {degrees} to choose from, {frame}: what is heard before each.
void scale_degrees(ExerciseDraft& draft) {
  draft.use_plain_mode();
  const LevelStep& step = level_step(draft.level().number);
  const std::vector<std::string> names = degrees_in(draft.key(), step);
  const auto asked =
      questions_from(draft, names.size(), static_cast<std::size_t>(step.questions), places_of(draft, names));
  // At higher levels a drone in place of the cadence, which says less.
  const bool drone = draft.level().number >= 5 && draft.variation.pick(2) == 1;
  EarSound sound(draft);
  std::vector<std::vector<std::string>> solution;
  const Pitch low_home = lowest_at_or_above(draft.key().tonic, 40);
  for (const std::size_t which : asked) {
    // In one of two octaves, so that the height alone does not tell it.
    const int from = draft.variation.pick(2) == 0 ? 55 : 67;
    const Pitch note = lowest_at_or_above(note_of_degree(draft.key(), names[which]), from);
    if (drone) {
      sound.together({low_home, low_home + intervals::perfect_fifth}, Beats(3));
    } else {
      sound.show_home();
    }
    sound.note(note, Beats(2));
    sound.rest(Beats(3));
    solution.push_back({names[which]});
  }
  const auto main = playable_triads(draft.key(), romanesca::level(1));
  sound.finish({main[0], main[1], main[2], main[0]});
  draft.say("count", number_word(asked.size()));
  draft.say("degrees", listed(names));
  draft.say("frame", drone ? "a held low note, which is home" : "four chords that end at home");
  draft.exercise.answer =
      answer_in_words("Write the number of each note in the scale: " + listed(names) + ".", std::move(solution), names);
}

/// Rhythms in 4/4 with three notes or more that a level knows, the newest twelve.
std::vector<const ExerciseRhythm*> singable_rhythms(int level) {
  constexpr std::size_t fewest_notes = 3;
  constexpr std::size_t most = 12;
  std::vector<const ExerciseRhythm*> fitting;
  for (const ExerciseRhythm& rhythm : exercise_rhythms()) {
    const bool known = rhythm.meter == Meter{4, 4} && rhythm.level <= level;
    // The last bar holds from its middle on: three notes must be left before and there.
    const auto early = std::count_if(rhythm.notes.begin(), rhythm.notes.end(),
                                     [](const RhythmNote& note) { return note.start < Beats(2); });
    if (known && rhythm.notes.size() >= fewest_notes && early >= 2) fitting.push_back(&rhythm);
  }
  if (fitting.size() > most) fitting.erase(fitting.begin(), fitting.end() - static_cast<std::ptrdiff_t>(most));
  return fitting;
}

/// Of rhythms that begin alike only the first: a last bar keeps no more than the beginning of its rhythm.
std::vector<const ExerciseRhythm*> different_beginnings(const std::vector<const ExerciseRhythm*>& rhythms) {
  std::vector<const ExerciseRhythm*> kept;
  std::set<std::vector<Beats>> seen;
  for (const ExerciseRhythm* rhythm : rhythms) {
    std::vector<Beats> beginning;
    for (const RhythmNote& note : rhythm->notes) {
      beginning.push_back(note.start);
      if (note.start >= Beats(2) && beginning.size() > 1) break;  // which is held to the end
    }
    if (seen.insert(std::move(beginning)).second) kept.push_back(rhythm);
  }
  return kept;
}

/// A short tune in the key over its tonic, fourth and fifth chords. @param finish degree of the scale, 1 for home
std::vector<MelodyNote> tune_in_key(ExerciseDraft& draft, int bars, int finish) {
  const auto main = playable_triads(draft.key(), romanesca::level(1));
  std::vector<std::vector<Chord>> row;
  constexpr std::array<std::size_t, 4> order{0, 1, 2, 0};
  for (int bar = 0; bar < bars; ++bar) row.push_back({main[bars == 1 ? 0 : order[static_cast<std::size_t>(bar) % 4]]});
  if (bars > 1) row.back() = {main[0]};
  const Timeline line = romanesca::timeline(progression_of(row, draft.key()), draft.key());
  TuneBrief brief;
  brief.last_bar = bars;
  const auto scale = draft.key().scale();
  // The first levels stay within five notes, as a hand does.
  const int width = draft.level().number <= 2 ? 7 : draft.level().number <= 4 ? 9 : 12;
  const Pitch home = lowest_at_or_above(draft.key().tonic, 60);
  brief.notes = pitches_from({scale.begin(), scale.end()}, home.midi(), home.midi() + width);
  brief.finish = draft.key().degree(finish);
  const auto rhythms = singable_rhythms(draft.level().number);
  const auto endings = different_beginnings(rhythms);
  const auto& first = bars == 1 ? endings : rhythms;
  brief.rhythm = first[draft.variation.pick(first.size())]->notes;
  // It begins on the tonic, the third or the fifth.
  brief.start = draft.key().degree(1 + 2 * static_cast<int>(draft.variation.pick(3)));
  brief.favourite = draft.variation.pick(brief.notes.size());
  const auto& second = bars % 2 == 0 ? endings : rhythms;
  if (bars > 1) brief.other_rhythm = second[draft.variation.pick(second.size())]->notes;
  return model_tune(line, brief, draft.exercise.seed * 64 + draft.variation.pick(64));
}

void play_tune(EarSound& sound, const std::vector<MelodyNote>& tune, Beats length) {
  const Beats begins = sound.now();
  for (const MelodyNote& note : tune) {
    sound.rest(begins + note.start - sound.now());
    sound.note(note.pitch, note.length);
  }
  sound.rest(begins + length - sound.now());
}

/// {count} of tunes.
void melodic_echo(ExerciseDraft& draft) {
  draft.use_plain_mode();
  const LevelStep& step = level_step(draft.level().number);
  const int bars = std::max(1, step.bars / 2);
  EarSound sound(draft);
  std::vector<std::vector<std::string>> solution;
  sound.show_home();
  for (int round = 0; round < step.rounds; ++round) {
    const auto tune = tune_in_key(draft, bars, 1 + 2 * static_cast<int>(draft.variation.pick(3)));
    play_tune(sound, tune, Beats(4) * bars);
    sound.rest(Beats(4) * bars);  // for the echo
    const int way = tune.back().pitch.midi() - tune.front().pitch.midi();
    solution.push_back({way > 0 ? "higher" : way < 0 ? "lower" : "same"});
    draft.exercise.models.push_back({"round " + std::to_string(round + 1), tune, false});
  }
  sound.finish(std::vector<Chord>(static_cast<std::size_t>(bars), draft.key().diatonic_chord(1, 3)));
  draft.exercise.models_are_answers = true;
  draft.say("count", number_word(static_cast<std::size_t>(step.rounds)));
  draft.say("length", bars == 1 ? "one bar" : number_word(static_cast<std::size_t>(bars)) + " bars");
  draft.exercise.answer = answer_in_words(
      "Write for each tune whether its last note was higher, lower or the same as "
      "its first.",
      std::move(solution), {"higher", "lower", "same"});
}

/// {first_note}, {count} of notes, {length}.
void melodic_dictation(ExerciseDraft& draft) {
  draft.use_plain_mode();
  const LevelStep& step = level_step(draft.level().number);
  const auto tune = tune_in_key(draft, step.bars, 1);
  EarSound sound(draft);
  sound.show_home();
  for (int time = 0; time < 2; ++time) {
    play_tune(sound, tune, Beats(4) * step.bars);
    sound.rest(Beats(4));
  }
  sound.finish(std::vector<Chord>(static_cast<std::size_t>(step.bars), draft.key().diatonic_chord(1, 3)));
  std::vector<std::vector<std::string>> solution;
  for (const MelodyNote& note : tune) solution.push_back({to_string(note.pitch.name())});
  draft.exercise.models.push_back({"the tune", tune, false});
  draft.exercise.models_are_answers = true;
  draft.exercise.writing_bars = step.bars;
  draft.say("first_note", to_string(tune.front().pitch.name()));
  draft.say("count", number_word(tune.size()));
  draft.say("length", step.bars == 1 ? "one bar" : number_word(static_cast<std::size_t>(step.bars)) + " bars");
  draft.exercise.answer = answer_in_words("Write the names of its notes in order.", std::move(solution), {});
}

/// The tune with one note after the first moved to another of the key.
std::vector<MelodyNote> with_one_changed(ExerciseDraft& draft, std::vector<MelodyNote> tune, std::size_t place) {
  const auto scale = draft.key().scale();
  std::vector<Pitch> others;
  // A step is harder to hear than a leap: the first levels change by a third or more.
  const int least = draft.level().number <= 2 ? 3 : 1;
  const int most = draft.level().number <= 4 ? 7 : 4;
  for (const Pitch& pitch : pitches_from({scale.begin(), scale.end()}, 53, 90)) {
    const int far = std::abs(pitch.midi() - tune[place].pitch.midi());
    if (far >= least && far <= most) others.push_back(pitch);
  }
  tune[place].pitch = others[draft.variation.pick(others.size())];
  return tune;
}

/// {count} of pairs.
void spot_the_change(ExerciseDraft& draft) {
  draft.use_plain_mode();
  const LevelStep& step = level_step(draft.level().number);
  const int bars = (step.bars + 1) / 2;
  EarSound sound(draft);
  std::vector<std::vector<std::string>> solution;
  std::size_t longest = 0;
  sound.show_home();
  for (int round = 0; round < step.rounds; ++round) {
    const auto tune = tune_in_key(draft, bars, 1);
    const std::size_t place = 1 + draft.variation.pick(tune.size() - 1);
    play_tune(sound, tune, Beats(4) * bars);
    sound.rest(Beats(1));
    play_tune(sound, with_one_changed(draft, tune, place), Beats(4) * bars);
    sound.rest(Beats(4));
    longest = std::max(longest, tune.size());
    solution.push_back({std::to_string(place + 1)});
  }
  sound.finish(std::vector<Chord>(static_cast<std::size_t>(bars), draft.key().diatonic_chord(1, 3)));
  std::vector<std::string> numbers;
  for (std::size_t number = 2; number <= longest; ++number) numbers.push_back(std::to_string(number));
  draft.say("count", number_word(static_cast<std::size_t>(step.rounds)));
  draft.exercise.answer = answer_in_words("Write for each pair the number of the note that was changed.",
                                          std::move(solution), std::move(numbers));
}

}  // namespace

std::span<const ExerciseBuilder> ear_melody_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"intervals", intervals_by_ear},      ExerciseBuilder{"scale-degrees", scale_degrees},
      ExerciseBuilder{"melodic-echo", melodic_echo},       ExerciseBuilder{"melodic-dictation", melodic_dictation},
      ExerciseBuilder{"spot-the-change", spot_the_change},
  };
  return builders;
}

}  // namespace romanesca
