#include "progressions/exercises/ear_sound.h"

#include <algorithm>

#include "progressions/level.h"

namespace romanesca {

void EarSound::strike(const Pitch& pitch, Beats length, std::uint8_t velocity) {
  draft_.exercise.heard.push_back({now_, length, static_cast<std::uint8_t>(pitch.midi()), velocity, 0});
}

void EarSound::chords(const std::vector<Chord>& row, Beats each, int manner) {
  std::vector<std::vector<Chord>> bars;
  for (const Chord& chord : row) bars.push_back({chord});
  const Progression progression = progression_of(bars, draft_.key());
  constexpr std::uint8_t bass = 88;
  constexpr std::uint8_t top = 68;
  for (const HandsChord& hands : hands_for(romanesca::timeline(progression, draft_.key()), {}).chords) {
    const Beats begins = now_;
    for (const Pitch& pitch : hands.left) strike(pitch, each, bass);
    // Into how many parts the time of the chord falls, and in which of them the right hand plays.
    const auto notes = static_cast<std::int64_t>(hands.right.size());
    const std::int64_t parts = manner == 0 ? 1 : manner == 3 ? notes + 1 : manner == 4 ? 4 : 2;
    for (std::int64_t part = 0; part < parts; ++part) {
      now_ = begins + each * part / parts;
      const Beats rest = each / parts;
      const bool all = manner == 0 || manner == 2 || (manner == 1 && part == 1) || (manner == 4 && part % 2 == 1);
      if (all) {
        for (const Pitch& pitch : hands.right) strike(pitch, rest, top);
      } else if (manner == 3 && part > 0) {
        strike(hands.right[static_cast<std::size_t>(part) - 1], begins + each - now_, top);
      }
    }
    now_ = begins + each;
  }
}

void EarSound::show_home() {
  const auto main = playable_triads(draft_.key(), romanesca::level(1));
  chords({main[0], main[1], main[2]}, Beats(1));
  chords({main[0]}, Beats(2));
  rest(Beats(1));
}

void EarSound::note(const Pitch& pitch, Beats length, std::uint8_t velocity) {
  strike(pitch, length, velocity);
  now_ += length;
}

void EarSound::together(const std::vector<Pitch>& pitches, Beats length) {
  for (const Pitch& pitch : pitches) strike(pitch, length, 78);
  now_ += length;
}

void EarSound::count_in(const Meter& meter) {
  for (int pulse = 0; pulse < meter.pulses(); ++pulse) {
    strike(Pitch(draft_.key().tonic, 6), Beats(1, 4), pulse == 0 ? 60 : 44);
    now_ += meter.pulse_length();
  }
}

void EarSound::finish(const std::vector<Chord>& row, const Meter& meter) {
  Exercise& exercise = draft_.exercise;
  exercise.heard_length = now_;
  std::vector<std::vector<Chord>> bars;
  for (const Chord& chord : row) bars.push_back({chord});
  Progression progression = progression_of(bars, draft_.key());
  progression.written_meter = meter;
  draft_.take(std::move(progression), draft_.key());
  for (std::size_t i = 0; i < draft_.chords().size(); ++i) exercise.hidden.push_back(i);
}

ExerciseAnswer answer_in_words(std::string asks, std::vector<std::vector<std::string>> solution,
                               std::vector<std::string> all) {
  ExerciseAnswer answer;
  answer.asks = std::move(asks);
  answer.solution = std::move(solution);
  answer.words = std::move(all);
  return answer;
}

std::vector<std::size_t> questions_from(ExerciseDraft& draft, std::size_t choices, std::size_t count,
                                        const std::vector<std::size_t>& confused) {
  std::vector<std::size_t> result;
  std::vector<std::size_t> left = confused;
  while (result.size() < count) {
    if (left.empty()) {
      for (std::size_t i = 0; i < choices; ++i) left.push_back(i);
    }
    std::vector<std::size_t> possible;
    for (const std::size_t each : left) {
      const bool third = result.size() >= 2 && result.back() == each && result[result.size() - 2] == each;
      if (!third || choices == 1) possible.push_back(each);
    }
    if (possible.empty()) {  // only what was there twice is left: begin again with all
      left.clear();
      continue;
    }
    const std::size_t chosen = possible[draft.variation.pick(possible.size())];
    left.erase(std::find(left.begin(), left.end(), chosen));
    result.push_back(chosen);
  }
  return result;
}

}  // namespace romanesca
