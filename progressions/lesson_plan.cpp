#include "progressions/lesson_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <tuple>

#include "progressions/exercises/seed_digits.h"
#include "progressions/skill_path.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// A hash of the seed and the words.
std::uint64_t mixed(std::uint64_t seed, std::string_view words) {
  std::uint64_t value = SeedDigits::mixed(seed + 1);
  for (const char c : words) value = SeedDigits::mixed(value ^ static_cast<unsigned char>(c));
  return value;
}

bool same_word(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), &same_letter);
}

/// The word of the student's likes that fits the kind; empty if none does.
std::string liked_word(const ExerciseKind& kind, const Learner& learner) {
  for (const std::string& word : learner.likes) {
    const bool met = same_word(word, kind.character) || same_word(word, to_string(kind.family)) ||
                     std::any_of(kind.backings.begin(), kind.backings.end(),
                                 [&](const std::string& style) { return same_word(word, style); });
    if (met) return word;
  }
  return {};
}

/// Makes the three proposals, each knowing those before it.
class Planner {
 public:
  Planner(const Learner& learner, std::span<const ExerciseKind> kinds, std::span<const Level> levels,
          std::uint64_t seed)
      : learner_(learner),
        kinds_(kinds),
        levels_(levels),
        seed_(seed),
        keys_(known_keys(learner)),
        states_(skill_states(learner)) {
    for (const Practised& each : learner.history) {
      if (named(each.exercise) != nullptr) had_.push_back(each);
    }
  }

  std::vector<Proposal> plan() {
    add_twist();
    add_step();
    add_surprise();
    return std::move(plan_);
  }

 private:
  [[nodiscard]] const ExerciseKind* named(const std::string& id) const {
    const auto found =
        std::find_if(kinds_.begin(), kinds_.end(), [&](const ExerciseKind& kind) { return kind.id == id; });
    return found == kinds_.end() ? nullptr : &*found;
  }
  [[nodiscard]] bool had(const ExerciseKind& kind) const { return last_place(kind) >= 0; }
  /// Where in the history the kind came last; -1 for never.
  [[nodiscard]] int last_place(const ExerciseKind& kind) const {
    for (std::size_t i = had_.size(); i > 0; --i) {
      if (had_[i - 1].exercise == kind.id) return static_cast<int>(i) - 1;
    }
    return -1;
  }
  [[nodiscard]] bool came_last(const ExerciseKind& kind) const {
    return !had_.empty() && had_.back().exercise == kind.id && had_.back().result != PractiseResult::missed;
  }
  [[nodiscard]] bool proposed(const ExerciseKind& kind) const {
    return std::any_of(plan_.begin(), plan_.end(), [&](const Proposal& each) { return each.exercise == kind.id; });
  }
  /// The state of the skill that the kind trains, or null.
  [[nodiscard]] const SkillState* state_of(const ExerciseKind& kind) const {
    const Skill* skill = skill_of_kind(kind.id);
    const auto found =
        std::find_if(states_.begin(), states_.end(), [&](const SkillState& each) { return each.skill == skill; });
    return skill == nullptr || found == states_.end() ? nullptr : &*found;
  }
  /// Whether everything that the kind's skill needs has been done.
  [[nodiscard]] bool has_ground(const ExerciseKind& kind) const {
    const SkillState* state = state_of(kind);
    return state == nullptr || state->stage != SkillStage::later;
  }
  [[nodiscard]] bool is_due(const ExerciseKind& kind) const {
    const SkillState* state = state_of(kind);
    return state != nullptr && state->due && *state->due <= learner_.today;
  }
  /// Whether one of the proposals so far is of the same strand.
  [[nodiscard]] bool strand_is_there(const ExerciseKind& kind) const {
    const Skill* skill = skill_of_kind(kind.id);
    return skill != nullptr && std::any_of(plan_.begin(), plan_.end(), [&](const Proposal& each) {
             const Skill* other = skill_of_kind(each.exercise);
             return other != nullptr && other->strand == skill->strand;
           });
  }
  /// How many traits of the kind the proposals so far have already.
  [[nodiscard]] int likeness(const ExerciseKind& kind) const {
    int count = 0;
    for (const Proposal& each : plan_) {
      const ExerciseKind& other = *named(each.exercise);
      count += (other.family == kind.family ? 2 : 0) + (other.character == kind.character ? 1 : 0);
    }
    return count;
  }
  [[nodiscard]] std::vector<const ExerciseKind*> usable(int level) const {
    std::vector<const ExerciseKind*> result;
    for (const ExerciseKind& kind : kinds_) {
      if (kind.lowest <= level && level <= kind.highest && !proposed(kind)) result.push_back(&kind);
    }
    return result;
  }

  /// The best of these by a rank (less is better); the seed chooses among equals. Nothing for an empty list.
  template <typename Choice, typename Rank>
  [[nodiscard]] std::optional<Choice> best(const std::vector<Choice>& choices, const Rank& rank) const {
    std::vector<Choice> equal;
    for (const Choice& choice : choices) {
      if (!equal.empty() && rank(equal.front()) < rank(choice)) continue;
      if (!equal.empty() && rank(choice) < rank(equal.front())) equal.clear();
      equal.push_back(choice);
    }
    if (equal.empty()) return std::nullopt;
    return equal[mixed(seed_, fmt::format("choice {}", plan_.size())) % equal.size()];
  }

  /// How often the kind was had in the key, then how long ago the key was had at all.
  [[nodiscard]] std::pair<int, int> use_of(const Key& key, const ExerciseKind& kind) const {
    int times = 0;
    int last = -1;
    for (std::size_t i = 0; i < had_.size(); ++i) {
      if (had_[i].key != key) continue;
      last = static_cast<int>(i);
      times += had_[i].exercise == kind.id ? 1 : 0;
    }
    return {times, last};
  }
  [[nodiscard]] Key least_used_key(const ExerciseKind& kind) const {
    return *best(keys_, [&](const Key& key) { return use_of(key, kind); });
  }

  void propose(PlanStep step, const ExerciseKind& kind, const Key& key, int level, std::string reason) {
    Proposal proposal{step, kind.id, key, level, 1, std::move(reason)};
    proposal.seed = 1 + mixed(seed_, fmt::format("{} {}", kind.id, plan_.size())) % 9999;
    for (const Practised& each : had_) {
      if (each.exercise == kind.id && each.key == key && each.seed == proposal.seed) {
        proposal.seed = 1 + proposal.seed % 9999;
      }
    }
    plan_.push_back(std::move(proposal));
  }

  void add_twist();
  void add_step();
  void add_surprise();
  bool add_own_song();
  bool add_new_key();
  bool add_new_kind(int level, const std::string& reason);

  const Learner& learner_;
  std::span<const ExerciseKind> kinds_;
  std::span<const Level> levels_;
  std::uint64_t seed_;
  std::vector<Key> keys_;
  std::vector<SkillState> states_;
  std::vector<Practised> had_;  ///< the history without unknown kinds
  std::vector<Proposal> plan_;
};

void Planner::add_twist() {
  std::vector<const ExerciseKind*> known;
  for (const ExerciseKind* kind : usable(learner_.level)) {
    if (had(*kind)) known.push_back(kind);
  }
  const auto chosen = best(known, [&](const ExerciseKind* kind) {
    const Practised& last = had_[static_cast<std::size_t>(last_place(*kind))];
    const int order = last.result == PractiseResult::missed ? 0 : last.result == PractiseResult::done ? 1 : 2;
    return std::tuple(came_last(*kind), order, !is_due(*kind), last_place(*kind));
  });
  if (!chosen) {
    add_new_kind(learner_.level, "Nothing of this level is written down yet, so this is a beginning");
    if (!plan_.empty()) plan_.back().step = PlanStep::beginning;
    return;
  }
  const ExerciseKind& kind = **chosen;
  const Practised& last = had_[static_cast<std::size_t>(last_place(kind))];
  const Key before = last.key.value_or(keys_.front());
  if (last.result == PractiseResult::missed) {
    const int easier = std::max(kind.lowest, learner_.level - 1);
    propose(PlanStep::twist, kind, before, easier,
            easier < learner_.level ? "It was not done last time, so once more, a level easier."
                                    : "It was not done last time, so once more, over other chords.");
    return;
  }
  const Key key = least_used_key(kind);
  propose(PlanStep::twist, kind, key, learner_.level,
          key == before
              ? fmt::format("Known already; this time over other chords in {}.", to_string(key))
              : fmt::format("Known already; this time in {} instead of {}.", to_string(key), to_string(before)));
}

bool Planner::add_new_kind(int level, const std::string& reason) {
  std::vector<const ExerciseKind*> fresh;
  for (const ExerciseKind* kind : usable(level)) {
    if (!had(*kind)) fresh.push_back(kind);
  }
  // Nothing new without its ground, as long as there is something with it.
  const auto grounded =
      std::stable_partition(fresh.begin(), fresh.end(), [&](const ExerciseKind* kind) { return has_ground(*kind); });
  if (grounded != fresh.begin()) fresh.erase(grounded, fresh.end());
  // The third choice is the one with the student's own song.
  const auto is_song = [](const ExerciseKind* kind) { return kind->family == ExerciseFamily::song; };
  if (!std::all_of(fresh.begin(), fresh.end(), is_song)) std::erase_if(fresh, is_song);
  const auto chosen = best(fresh, [&](const ExerciseKind* kind) {
    return std::tuple(likeness(*kind) > 1, strand_is_there(*kind), liked_word(*kind, learner_).empty(),
                      level - kind->lowest > 3);
  });
  if (!chosen) return false;
  const Key key = least_used_key(**chosen);
  propose(PlanStep::further, **chosen, key, level, fmt::format("{}, in {}.", reason, to_string(key)));
  return true;
}

bool Planner::add_new_key() {
  const auto key = next_key(keys_, levels_[static_cast<std::size_t>(learner_.level) - 1]);
  if (!key) return false;
  std::vector<const ExerciseKind*> familiar;
  for (const ExerciseKind* kind : usable(learner_.level)) {
    if (had(*kind) && !came_last(*kind)) familiar.push_back(kind);
  }
  const auto chosen = best(familiar, [&](const ExerciseKind* kind) { return std::tuple(-last_place(*kind)); });
  if (!chosen) return false;
  propose(PlanStep::further, **chosen, *key, learner_.level,
          fmt::format("Known already; {} is a new key, next to those known on the circle of fifths.", to_string(*key)));
  return true;
}

void Planner::add_step() {
  constexpr std::size_t exercises_for_a_key = 3;
  const auto done = static_cast<std::size_t>(
      std::count_if(had_.begin(), had_.end(), [](const Practised& p) { return p.result == PractiseResult::done; }));
  const int level = learner_.level;
  const bool ripe = done >= exercises_for_a_key * keys_.size();
  if (ripe && add_new_key()) return;
  if (add_new_kind(level, fmt::format("New at level {}", level))) return;
  if (add_new_key()) return;
  const int higher = std::min(level + 1, 8);
  if (add_new_kind(higher, fmt::format("All of level {} is known; a first thing of level {}", level, higher))) return;
  const auto any =
      best(usable(higher), [&](const ExerciseKind* kind) { return std::tuple(came_last(*kind), last_place(*kind)); });
  if (!any) return;
  propose(PlanStep::further, **any, least_used_key(**any), higher,
          higher > level ? fmt::format("All of level {} is known; this is it at level {}.", level, higher)
                         : "Everything is known; this has rested longest.");
}

bool Planner::add_own_song() {
  std::vector<const ExerciseKind*> with_song;
  for (const ExerciseKind* kind : usable(learner_.level)) {
    if (kind->family == ExerciseFamily::song && has_ground(*kind) && !came_last(*kind)) with_song.push_back(kind);
  }
  const auto chosen = best(with_song, [&](const ExerciseKind* kind) {
    return std::tuple(strand_is_there(*kind), had(*kind) && !is_due(*kind), last_place(*kind));
  });
  if (!chosen) return false;
  const Key key = least_used_key(**chosen);
  propose(PlanStep::surprise, **chosen, key, learner_.level,
          had(**chosen) ? "Your own song again: bring one that you like."
                        : "With your own song, never done before: bring one that you like.");
  return true;
}

void Planner::add_surprise() {
  if (add_own_song()) return;
  const auto chosen = best(usable(learner_.level), [&](const ExerciseKind* kind) {
    return std::tuple(came_last(*kind), likeness(*kind) > 1, !has_ground(*kind), had(*kind),
                      liked_word(*kind, learner_).empty());
  });
  if (!chosen) return;
  const ExerciseKind& kind = **chosen;
  std::vector<Key> keys = keys_;
  if (keys.size() > 1 && !had_.empty() && had_.back().key) std::erase(keys, *had_.back().key);
  const Key key = *best(keys, [](const Key&) { return 0; });
  const std::string word = liked_word(kind, learner_);
  propose(PlanStep::surprise, kind, key, learner_.level,
          fmt::format("Something else, {}{}.", had(kind) ? "not done for a while" : "never done before",
                      word.empty() ? "" : fmt::format(", and a chance for {}", word)));
}

}  // namespace

std::string_view description(PlanStep step) {
  constexpr std::array<std::string_view, 4> texts{"something known with a twist", "a step further", "a surprise",
                                                  "a beginning"};
  return texts[static_cast<std::size_t>(step)];
}

std::vector<Proposal> plan_lesson(const Learner& learner, std::span<const ExerciseKind> kinds,
                                  std::span<const Level> levels, std::uint64_t seed) {
  return Planner(learner, kinds, levels, seed).plan();
}

std::vector<Key> known_keys(const Learner& learner) {
  std::vector<Key> keys;
  const auto take = [&](const Key& key) {
    const bool new_here = std::find(keys.begin(), keys.end(), key) == keys.end();
    if (new_here && key.mode != Mode::locrian) keys.push_back(key);
  };
  for (const Key& key : learner.keys) take(key);
  for (const Practised& each : learner.history) {
    if (each.key && each.result == PractiseResult::done) take(*each.key);
  }
  if (keys.empty()) keys.push_back({});
  return keys;
}

std::optional<Key> next_key(const std::vector<Key>& known, const Level& level) {
  const auto distance = [](const Key& a, const Key& b) {
    return std::abs(a.signature() - b.signature()) + (a.mode == b.mode ? 0 : 1);
  };
  std::optional<Key> nearest;
  std::tuple<int, bool, bool> least;
  for (const Key& key : written_keys()) {
    if (!level.allows(key) || std::find(known.begin(), known.end(), key) != known.end()) continue;
    int nearest_known = 100;
    for (const Key& other : known) nearest_known = std::min(nearest_known, distance(key, other));
    const std::tuple rank(nearest_known, key.mode == Mode::minor, key.signature() < 0);
    if (nearest && rank >= least) continue;
    nearest = key;
    least = rank;
  }
  return nearest;
}

Parsed<Exercise> exercise_of(const Proposal& proposal, std::span<const Level> levels) {
  ExerciseRequest request;
  request.key = proposal.key;
  request.level = levels[static_cast<std::size_t>(proposal.level) - 1];
  request.id = proposal.exercise;
  request.seed = proposal.seed;
  request.choices = 1;
  auto exercises = set_exercises(request);
  if (!exercises) return exercises.error();
  return std::move(exercises->front());  // cppcheck-suppress returnStdMoveLocal; what it refers to is moved
}

}  // namespace romanesca
