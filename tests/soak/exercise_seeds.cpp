// Ten thousand seeds of every kind of exercise, each at one of its levels in one of 24 keys, against the rules of level
// and range and against the rules of music. Takes about a minute, so it is a program of its own:
// build/tests/exercise_seeds [how many seeds of each kind].
#include <fmt/format.h>

#include <array>
#include <cstdlib>
#include <map>

#include "progressions/exercise.h"
#include "progressions/exercises/closing.h"

namespace {

using namespace romanesca;

Key key_of(std::uint64_t seed) {
  const int place = static_cast<int>(seed % 24);
  const int fifths = place / 2 - 5;
  return place % 2 == 0 ? Key{PitchClass(fifths), Mode::major} : Key{PitchClass(fifths + 3), Mode::minor};
}

struct Broken {
  int level_rules = 0;
  int music_rules = 0;
};

/// How many of the kind's exercises break a rule; prints the first few.
Broken broken_of(const ExerciseKind& kind, std::uint64_t seeds) {
  Broken broken;
  ExerciseRequest request;
  request.id = kind.id;
  request.choices = 1;
  const auto note = [&](int& count, const std::vector<std::string>& faults) {
    if (faults.empty() || ++count > 3) return;
    fmt::print("{} seed {}, level {}, {}: {}\n", kind.id, request.seed, request.level.number, to_string(request.key),
               faults.front());
  };
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    // Every level meets every key: 24 and the number of levels need not be coprime.
    const auto levels_of_kind = static_cast<std::uint64_t>(kind.highest - kind.lowest + 1);
    request.level = level(kind.lowest + static_cast<int>(seed / 24 % levels_of_kind));
    request.key = key_of(seed);
    request.seed = seed;
    const auto set = set_exercises(request);
    if (!set) {
      ++broken.level_rules;
      fmt::print("{} seed {}: {}\n", kind.id, seed, set.error().message);
      continue;
    }
    note(broken.level_rules, broken_rules(set->front(), request.level));
    note(broken.music_rules, broken_music_rules(set->front()));
  }
  if (broken.music_rules > 0) fmt::print("{}: {} of {} break a rule of music\n", kind.id, broken.music_rules, seeds);
  return broken;
}

/// How the styles of level 1 and the endings of the sheets about endings are spread, for a person to read.
void print_spread(std::uint64_t seeds) {
  std::map<std::string, std::uint64_t> styles, endings;
  for (const ExerciseKind& kind : exercise_kinds()) {
    ExerciseRequest request;
    request.id = kind.id;
    request.choices = 1;
    for (std::uint64_t seed = 0; seed < seeds; ++seed) {
      request.seed = seed;
      request.level = level(kind.lowest);
      const auto set = set_exercises(request);
      if (!set) continue;
      const Exercise& exercise = set->front();
      if (kind.lowest == 1 && kind.family != ExerciseFamily::ear) ++styles[exercise.progression.style];
      if (kind.id != "closes-in-a-key") continue;
      std::vector<Chord> chords;
      for (const TimedChord& timed : exercise.timeline().chords) chords.push_back(*timed.chord);
      const auto ending = ending_of(chords, exercise.key);
      ++endings[ending ? std::string(to_string(*ending)) : "none"];
    }
  }
  for (const auto* counts : {&styles, &endings}) {
    fmt::print("{}:", counts == &styles ? "styles at level 1" : "endings of closes-in-a-key");
    for (const auto& [name, count] : *counts) fmt::print(" {} {}", name, count);
    fmt::print("\n");
  }
}

}  // namespace

int main(int count, char** arguments) {
  const std::uint64_t seeds = count > 1 ? std::strtoull(arguments[1], nullptr, 10) : 10000;
  Broken all;
  for (const ExerciseKind& kind : exercise_kinds()) {
    const Broken broken = broken_of(kind, seeds);
    all.level_rules += broken.level_rules;
    all.music_rules += broken.music_rules;
  }
  print_spread(40);
  fmt::print("{} kinds, {} seeds each: {} exercises break a rule, {} a rule of music\n", exercise_kinds().size(), seeds,
             all.level_rules, all.music_rules);
  return all.level_rules + all.music_rules == 0 ? 0 : 1;
}
