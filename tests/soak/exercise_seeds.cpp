// Ten thousand seeds of every kind of exercise, each at one of its levels in one of 24 keys, against the rules. Takes
// about a minute, so it is a program of its own: build/tests/exercise_seeds [how many seeds of each kind].
#include <fmt/format.h>

#include <cstdlib>

#include "progressions/exercise.h"

namespace {

using namespace romanesca;

Key key_of(std::uint64_t seed) {
  const int place = static_cast<int>(seed % 24);
  const int fifths = place / 2 - 5;
  return place % 2 == 0 ? Key{PitchClass(fifths), Mode::major} : Key{PitchClass(fifths + 3), Mode::minor};
}

/// How many of the kind's exercises break a rule; prints the first few.
int broken_of(const ExerciseKind& kind, std::uint64_t seeds) {
  int broken = 0;
  ExerciseRequest request;
  request.id = kind.id;
  request.choices = 1;
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    // Every level meets every key: 24 and the number of levels need not be coprime.
    const auto levels_of_kind = static_cast<std::uint64_t>(kind.highest - kind.lowest + 1);
    request.level = level(kind.lowest + static_cast<int>(seed / 24 % levels_of_kind));
    request.key = key_of(seed);
    request.seed = seed;
    const auto set = set_exercises(request);
    const auto faults = set ? broken_rules(set->front(), request.level) : std::vector{set.error().message};
    if (faults.empty()) continue;
    if (++broken <= 3) {
      fmt::print("{} seed {}, level {}, {}: {}\n", kind.id, seed, request.level.number, to_string(request.key),
                 faults.front());
    }
  }
  return broken;
}

}  // namespace

int main(int count, char** arguments) {
  const std::uint64_t seeds = count > 1 ? std::strtoull(arguments[1], nullptr, 10) : 10000;
  int broken = 0;
  for (const ExerciseKind& kind : exercise_kinds()) broken += broken_of(kind, seeds);
  fmt::print("{} kinds, {} seeds each: {} exercises break a rule\n", exercise_kinds().size(), seeds, broken);
  return broken == 0 ? 0 : 1;
}
