#include <algorithm>
#include <array>
#include <optional>

#include "progressions/exercises/counts.h"
#include "progressions/exercises/ear_sound.h"
#include "progressions/exercises/level_step.h"
#include "progressions/exercises/material.h"

namespace romanesca {
namespace {

constexpr Beats echo_note_gap{1, 8};  // a note ends a little before the next, so that repeated ones are told apart

/// Rhythms of a meter for a level, the newest twelve.
std::vector<const ExerciseRhythm*> rhythms_for(const Meter& meter, int level) {
  std::vector<const ExerciseRhythm*> fitting;
  for (const ExerciseRhythm& rhythm : exercise_rhythms()) {
    if (rhythm.meter == meter && rhythm.level <= level) fitting.push_back(&rhythm);
  }
  constexpr std::size_t most = 12;
  if (fitting.size() > most) fitting.erase(fitting.begin(), fitting.end() - static_cast<std::ptrdiff_t>(most));
  return fitting;
}

/// A rhythm of several bars, each drawn; no bar like the one before where there are others.
std::vector<RhythmNote> drawn_rhythm(ExerciseDraft& draft, const Meter& meter, int bars) {
  std::vector<RhythmNote> notes;
  auto fitting = rhythms_for(meter, draft.level().number);
  const ExerciseRhythm* before = nullptr;
  for (int bar = 0; bar < bars; ++bar) {
    auto possible = fitting;
    if (possible.size() > 1) std::erase(possible, before);
    before = possible[draft.variation.pick(possible.size())];
    for (RhythmNote note : before->notes) {
      note.start += meter.bar_length() * bar;
      notes.push_back(note);
    }
  }
  return notes;
}

/// The meters that a level has rhythms for.
Meter drawn_meter(ExerciseDraft& draft) {
  std::vector<Meter> meters;
  for (const Meter meter : {Meter{4, 4}, Meter{3, 4}, Meter{2, 4}, Meter{6, 8}}) {
    if (rhythms_for(meter, draft.level().number).size() >= 3) meters.push_back(meter);
  }
  return meters[draft.variation.pick(meters.size())];
}

void play_rhythm(EarSound& sound, const std::vector<RhythmNote>& rhythm, const Pitch& pitch, Beats length) {
  const Beats begins = sound.now();
  for (const RhythmNote& note : rhythm) {
    sound.rest(begins + note.start - sound.now());
    sound.note(pitch, note.length - echo_note_gap);
  }
  sound.rest(begins + length - sound.now());
}

Pitch rhythm_pitch(const ExerciseDraft& draft) { return lowest_at_or_above(draft.key().tonic, 62); }

std::vector<Chord> tonic_bars(const ExerciseDraft& draft, int bars) {
  return std::vector<Chord>(static_cast<std::size_t>(bars), draft.key().diatonic_chord(1, 3));
}

ExerciseTune tune_of(const std::vector<RhythmNote>& rhythm, std::string label) {
  ExerciseTune tune{std::move(label), {}, true};
  for (const RhythmNote& note : rhythm) tune.notes.push_back({note.start, note.length, Pitch(PitchClass(5), 4)});
  return tune;
}

/// {count} of rounds, {length} of each.
void rhythm_echo(ExerciseDraft& draft) {
  const LevelStep& step = level_step(draft.level().number);
  const Meter meter = drawn_meter(draft);
  const int bars = std::max(1, step.bars / 2);
  EarSound sound(draft);
  std::vector<std::vector<std::string>> solution;
  for (int round = 0; round < step.rounds; ++round) {
    const auto rhythm = drawn_rhythm(draft, meter, bars);
    sound.count_in(meter);
    play_rhythm(sound, rhythm, rhythm_pitch(draft), meter.bar_length() * bars);
    sound.rest(meter.bar_length() * (bars + 1));  // for the echo
    solution.push_back({std::to_string(rhythm.size())});
    draft.exercise.models.push_back(tune_of(rhythm, "round " + std::to_string(round + 1)));
  }
  sound.finish(tonic_bars(draft, bars), meter);
  std::vector<std::string> numbers;
  for (int number = 1; number <= 24; ++number) numbers.push_back(std::to_string(number));
  draft.say("count", number_word(static_cast<std::size_t>(step.rounds)));
  draft.say("length", bars == 1 ? "one bar" : number_word(static_cast<std::size_t>(bars)) + " bars");
  draft.exercise.models_are_answers = true;
  draft.exercise.answer =
      answer_in_words("Write how many notes you clapped in each round.", std::move(solution), std::move(numbers));
}

/// {length} of the rhythm, {meter}.
void rhythm_dictation(ExerciseDraft& draft) {
  const LevelStep& step = level_step(draft.level().number);
  const Meter meter = drawn_meter(draft);
  const auto rhythm = drawn_rhythm(draft, meter, step.bars);
  EarSound sound(draft);
  for (int time = 0; time < 2; ++time) {
    sound.count_in(meter);
    play_rhythm(sound, rhythm, rhythm_pitch(draft), meter.bar_length() * step.bars);
    sound.rest(meter.bar_length());
  }
  sound.finish(tonic_bars(draft, step.bars), meter);
  ExerciseAnswer answer;
  answer.rule = AnswerRule::rhythm;
  answer.asks =
      "Write the counts on which notes begin, like 1 2 & 3. Put | between the bars, and a silent count in ( ).";
  answer.solution = counts_of(rhythm, meter);
  draft.exercise.models.push_back(tune_of(rhythm, "the rhythm"));
  draft.exercise.models_are_answers = true;
  draft.exercise.writing_bars = step.bars;
  draft.exercise.answer = std::move(answer);
  draft.say("length", step.bars == 1 ? "one bar" : number_word(static_cast<std::size_t>(step.bars)) + " bars");
  draft.say("meter", to_string(meter));
}

/// {choice} of meters, {count} of pieces.
void meter_by_ear(ExerciseDraft& draft) {
  draft.use_plain_mode();  // its fourth and fifth chords are then major or minor
  // What is felt: beats in a group. Six is two groups of three, felt faster than two groups of two.
  struct Felt {
    std::string_view name;
    Meter meter;
    int level;
  };
  constexpr std::array<Felt, 4> all{{{"2", {2, 4}, 1}, {"3", {3, 4}, 1}, {"6", {6, 8}, 3}, {"5", {5, 4}, 5}}};
  std::vector<Felt> known;
  std::vector<std::string> names;
  for (const Felt& each : all) {
    if (each.level > draft.level().number) continue;
    known.push_back(each);
    names.emplace_back(each.name);
  }
  const auto count = static_cast<std::size_t>(level_step(draft.level().number).questions);
  const auto asked = questions_from(draft, known.size(), count, {});
  EarSound sound(draft);
  std::vector<std::vector<std::string>> solution;
  const auto main = playable_triads(draft.key(), romanesca::level(1));
  for (const std::size_t which : asked) {
    const Meter meter = known[which].meter;
    const std::size_t order = draft.variation.pick(3);
    constexpr std::array<std::array<std::size_t, 4>, 3> orders{{{0, 1, 2, 0}, {0, 2, 2, 0}, {0, 1, 1, 0}}};
    for (const std::size_t place : orders[order]) {
      // A low note on the first beat of the group, the chord's others on the rest.
      const auto tones = main[place].tones();
      for (int beat = 0; beat < meter.upper; ++beat) {
        const bool second_group = meter.upper == 6 && beat == 3;
        const bool after_three = meter.upper == 5 && beat == 3;
        if (beat == 0) {
          sound.note(lowest_at_or_above(tones[0], 41), meter.beat_length(), 96);
        } else if (second_group || after_three) {
          sound.note(lowest_at_or_above(tones[2], 48), meter.beat_length(), 80);
        } else {
          sound.together({lowest_at_or_above(tones[1], 60), lowest_at_or_above(tones[2], 60)}, meter.beat_length());
        }
      }
    }
    sound.rest(Beats(3));
    solution.push_back({std::string(known[which].name)});
  }
  sound.finish({main[0]});
  draft.say("count", number_word(count));
  draft.say("choice", listed(names));
  const std::string task = "Write a number for each piece: " + listed(names) + ".";
  draft.exercise.answer = answer_in_words(task, std::move(solution), std::move(names));
}

}  // namespace

std::span<const ExerciseBuilder> ear_rhythm_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"rhythm-echo", rhythm_echo},
      ExerciseBuilder{"rhythm-dictation", rhythm_dictation},
      ExerciseBuilder{"meter-by-ear", meter_by_ear},
  };
  return builders;
}

}  // namespace romanesca
