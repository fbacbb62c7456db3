#include "progressions/skill_path.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "progressions/toml_rows.h"

namespace romanesca {
namespace {

constexpr std::array<std::string_view, 5> strands{"rhythm", "ear", "hands", "harmony", "form"};
constexpr std::array<int, 6> days_to_wait{1, 2, 4, 8, 16, 32};  // by box; what was missed comes at once
constexpr int sure_from = 3;

bool is_one_of(const std::vector<std::string>& names, const std::string& name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

std::optional<std::vector<std::string>> texts_in(const TomlTable& table, std::string_view field) {
  const TomlArray* list = table.array(field);
  if (list == nullptr) return std::nullopt;
  std::vector<std::string> result;
  for (const TomlValue& value : *list) {
    if (value.string() == nullptr) return std::nullopt;
    result.push_back(*value.string());
  }
  return result;
}

Parsed<Skill> read_skill(const EmbeddedText& file, std::string_view id, const TomlTable& table) {
  const auto fault = [&](std::string_view message) {
    return toml_error(file, table.place(), fmt::format("{}: {}", id, message));
  };
  Skill skill;
  skill.id = id;
  skill.name = table.string("name").value_or("");
  if (skill.name.empty()) return fault("name is missing");
  skill.strand = table.string("strand").value_or("");
  if (std::find(strands.begin(), strands.end(), skill.strand) == strands.end()) {
    return fault("strand must be rhythm, ear, hands, harmony or form");
  }
  skill.level = table.integer("level").value_or(0);
  if (skill.level < 1 || skill.level > 8) return fault("level must be 1 to 8");
  auto needs = texts_in(table, "needs");
  auto kinds = texts_in(table, "kinds");
  const bool in_play_alongs = table.array("played") != nullptr;
  auto played = in_play_alongs ? texts_in(table, "played") : std::vector<std::string>();
  if (!needs || !kinds || !played || kinds->empty())
    return fault("needs, kinds and played must be lists of names, kinds with one or more");
  skill.needs = std::move(*needs);
  skill.kinds = std::move(*kinds);
  skill.played = std::move(*played);
  return skill;
}

/// What is wrong with a skill beside those before it.
std::optional<std::string> wrong_with(const Skill& skill, std::span<const Skill> before) {
  for (const std::string& need : skill.needs) {
    const bool known = std::any_of(before.begin(), before.end(), [&](const Skill& each) { return each.id == need; });
    if (!known) return fmt::format("{}: needs \"{}\", which does not stand above it", skill.id, need);
  }
  for (const Skill& other : before) {
    const auto twice = [](const std::vector<std::string>& mine, const std::vector<std::string>& theirs) {
      return std::find_first_of(mine.begin(), mine.end(), theirs.begin(), theirs.end());
    };
    auto name = twice(skill.kinds, other.kinds);
    if (name == skill.kinds.end()) {
      name = twice(skill.played, other.played);
      if (name == skill.played.end()) continue;
    }
    return fmt::format("{}: {} belongs to {} already", skill.id, *name, other.id);
  }
  return std::nullopt;
}

}  // namespace

Parsed<std::vector<Skill>> read_skills(const EmbeddedText& file) {
  auto rows = read_rows<Skill>(file, read_skill);
  if (!rows) return rows;
  for (std::size_t i = 0; i < rows->size(); ++i) {
    if (auto wrong = wrong_with((*rows)[i], std::span(*rows).first(i))) {
      return toml_error(file, {1, 1, 1}, std::move(*wrong));
    }
  }
  return rows;
}

std::span<const Skill> skills() {
  static const auto all = rows_of<Skill>(skill_texts(), read_skills);
  return all;
}

const Skill* skill_of_kind(std::string_view kind) {
  for (const Skill& skill : skills()) {
    if (std::find(skill.kinds.begin(), skill.kinds.end(), kind) != skill.kinds.end()) return &skill;
  }
  return nullptr;
}

std::string_view to_string(SkillStage stage) {
  constexpr std::array<std::string_view, 4> names{"sure", "growing", "next", "later"};
  return names[static_cast<std::size_t>(stage)];
}

std::vector<SkillState> skill_states(const Learner& learner) {
  std::vector<SkillState> states;
  for (const Skill& skill : skills()) {
    SkillState state;
    state.skill = &skill;
    std::optional<int> moved_on;
    for (const Practised& each : learner.history) {
      const bool played = is_one_of(skill.played, each.exercise);
      if (each.result == PractiseResult::open || (!played && !is_one_of(skill.kinds, each.exercise))) continue;
      ++state.times;
      state.played += played ? 1 : 0;
      if (each.result == PractiseResult::missed) {
        state.box = 0;
      } else if (state.box == 0 || moved_on != each.day) {
        state.box = std::min(state.box + 1, 5);
        moved_on = each.day;
      }
      state.day = each.day;
      state.due = each.day + days_to_wait[static_cast<std::size_t>(state.box)];
    }
    const auto done_before = [&](const std::string& need) {
      return std::any_of(states.begin(), states.end(), [&](const SkillState& other) {
        return other.skill->id == need && other.times > 0 && other.box > 0;
      });
    };
    const bool ground = std::all_of(skill.needs.begin(), skill.needs.end(), done_before);
    state.stage = state.box >= sure_from                                ? SkillStage::sure
                  : state.times > 0                                     ? SkillStage::growing
                  : ground && skill.level <= std::max(learner.level, 1) ? SkillStage::next
                                                                        : SkillStage::later;
    states.push_back(state);
  }
  return states;
}

}  // namespace romanesca
