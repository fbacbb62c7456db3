#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "progressions/lesson_plan.h"
#include "theory/text/embedded_text.h"
#include "theory/text/errors.h"

namespace romanesca {

/// A skill of the path: a table of skills.toml, which explains the fields.
struct Skill {
  std::string id, name, strand;
  int level = 1;
  std::vector<std::string> needs, kinds, played;
};
/// In the order of the file: what a skill needs stands before it.
[[nodiscard]] std::span<const Skill> skills();
/// The skill that a kind of exercise trains, or null.
[[nodiscard]] const Skill* skill_of_kind(std::string_view kind);

/// How far a student is with a skill.
enum class SkillStage {
  sure,     ///< done three times and more since it was last missed, with growing gaps
  growing,  ///< begun
  next,     ///< not begun, and everything that it needs has been done
  later,    ///< the rest
};
[[nodiscard]] std::string_view to_string(SkillStage stage);

struct SkillState {
  const Skill* skill = nullptr;
  SkillStage stage = SkillStage::later;
  int box = 0;             ///< how often it was done since it was last missed, at most 5
  int times = 0;           ///< that an exercise of it was done or missed
  int played = 0;          ///< those of them that were play-alongs
  std::optional<int> day;  ///< when it was last done or missed; days as in Practised
  std::optional<int> due;  ///< when it comes again; nothing before it was begun
};

/// All skills of the path. Repetition is spaced by boxes: what is done moves one box on and comes again after 2, 4, 8,
/// 16 and 32 days, what is missed goes back to the first, and what is done more than once on a day moves on once
/// (Leitner, "So lernt man lernen", 1972, in whose card box each compartment waits about twice as long as the one
/// before; the number of days is our choice for weekly lessons).
[[nodiscard]] std::vector<SkillState> skill_states(const Learner& learner);

/// Reads a file of skills. @return them, or what is wrong and where: an unknown need, one that stands below, a kind
/// or a part of a play-along twice.
[[nodiscard]] Parsed<std::vector<Skill>> read_skills(const EmbeddedText& file);
/// The data file as compiled in.
[[nodiscard]] std::span<const EmbeddedText> skill_texts();

}  // namespace romanesca
