#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "progressions/exercise.h"
#include "progressions/level.h"

namespace romanesca {

/// How an exercise that a student was given went.
enum class PractiseResult { open, done, missed };

/// An exercise that a student was given.
struct Practised {
  std::string exercise;  ///< id of its kind; an unknown one is ignored
  std::optional<Key> key;
  int level = 0;  ///< 0 where it is not known
  std::optional<std::uint64_t> seed;
  PractiseResult result = PractiseResult::open;
  int day = 0;  ///< when it was done or missed, else given; days from any beginning
};

/// What is known of a student when the next lesson is planned.
struct Learner {
  int level = 1;                   ///< 1 to 8
  std::vector<Key> keys;           ///< known, in the order in which they were learnt
  std::vector<std::string> likes;  ///< words; one that names a style, a family or a character counts
  std::vector<Practised> history;  ///< oldest first
  int today = 0;                   ///< counted as in Practised
};

/// What a proposal is for.
enum class PlanStep { twist, further, surprise, beginning };
/// "something known with a twist", "a step further", "a surprise", "a beginning".
[[nodiscard]] std::string_view description(PlanStep step);

/// One of the choices for the next lesson. Exercise, key, level and seed make the exercise.
struct Proposal {
  PlanStep step = PlanStep::twist;
  std::string exercise;
  Key key;
  int level = 1;
  std::uint64_t seed = 1;  ///< 1 to 9999
  std::string reason;      ///< why this, in a sentence
};

/// Three choices: something known with a twist (a beginning, for an empty history), a step further, a surprise; fewer
/// if there are too few kinds. They are of three kinds, and as far as possible of three families and characters.
/// They follow the path of skills (skill_path.h): nothing new before what its skill needs was done once; what is due by
/// spaced repetition comes before what is not; the third works with the student's own song where there is a kind that
/// does, and the three differ in strand where they can.
/// The kind that came last does not come at once again, unless it is the only one that the student has had, and then
/// never with the same key and seed. What was never done goes before what was, among equals what the student likes; the
/// seed chooses among what is left.
///
/// The twist: what was missed, a level easier where it can be; else what has rested longest, in the known key in which
/// it has been least or, with one key, over other chords. The step: one new thing, which is a new key when three
/// exercises are done for each known one, else a new kind of exercise; a level more when both are used up. Three is our
/// guess for two to three weeks with a key, no source.
/// @param levels the teacher's eight
[[nodiscard]] std::vector<Proposal> plan_lesson(const Learner& learner, std::span<const ExerciseKind> kinds,
                                                std::span<const Level> levels, std::uint64_t seed);

/// The exercise of a proposal. @return what is wrong where the proposal is for no kind that there is
[[nodiscard]] Parsed<Exercise> exercise_of(const Proposal& proposal, std::span<const Level> levels);

/// The keys known: those named, then those in which something was done; C major where there is none.
[[nodiscard]] std::vector<Key> known_keys(const Learner& learner);

/// The next key to learn: the nearest on the circle of fifths to one of these that the level allows, major and minor
/// (the relative key lies next to its major); among equals major first, then sharps. Nothing if the level has no more.
/// Common practice, no source.
[[nodiscard]] std::optional<Key> next_key(const std::vector<Key>& known, const Level& level);

}  // namespace romanesca
