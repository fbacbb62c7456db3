#include "cli/formats/progress_text.h"

#include <fmt/format.h>

#include <array>
#include <nlohmann/json.hpp>

#include "cli/formats/html_text.h"
#include "cli/formats/wrapped_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

struct StageWords {
  SkillStage stage;
  std::string_view heading, for_parents;
};
constexpr std::array<StageWords, 3> shown_stages{{{SkillStage::sure, "Sure", "What is sure"},
                                                  {SkillStage::growing, "Growing", "What is growing"},
                                                  {SkillStage::next, "Next", "What comes next"}}};

std::string due_words(const SkillState& state, int today) {
  if (!state.due) return "";
  const int days = *state.due - today;
  if (days <= 0) return "due now";
  return days == 1 ? "again tomorrow" : fmt::format("again in {} days", days);
}

/// "3 times, 1 of them with a song"
std::string times_words(const SkillState& state) {
  std::string times = fmt::format("{} {}", state.times, state.times == 1 ? "time" : "times");
  if (state.played == 0) return times;
  return state.played == state.times ? times + " with a song"
                                     : fmt::format("{}, {} of them with a song", times, state.played);
}

std::vector<const SkillState*> of_stage(const std::vector<SkillState>& states, SkillStage stage) {
  std::vector<const SkillState*> found;
  for (const SkillState& each : states) {
    if (each.stage == stage) found.push_back(&each);
  }
  return found;
}

}  // namespace

std::string progress_text(const Student& student, const std::vector<SkillState>& states, int today, int width) {
  std::string text = fmt::format("{}, level {}\n", student.profile.name, student.profile.level);
  for (const StageWords& words : shown_stages) {
    const auto found = of_stage(states, words.stage);
    text += fmt::format("\n{}\n", words.heading);
    if (found.empty()) text += "  nothing yet\n";
    for (const SkillState* state : found) {
      std::string line = std::string(state->skill->name);
      if (state->times > 0) {
        line += fmt::format(" ({}, {})", times_words(*state), due_words(*state, today));
      }
      text += wrapped(fmt::format("  {:<8} ", state->skill->strand), line, width);
    }
  }
  const auto later = of_stage(states, SkillStage::later).size();
  return text + fmt::format("\n{} more skills stand further along the path.\n", later);
}

std::string progress_page(const Student& student, const std::vector<SkillState>& states, const Date& date) {
  const std::string name = html_text(student.profile.name);
  std::string body;
  for (const StageWords& words : shown_stages) {
    const auto found = of_stage(states, words.stage);
    body += fmt::format("<h2>{}</h2>\n", words.for_parents);
    if (found.empty()) {
      body += "<p>Nothing yet.</p>\n";
      continue;
    }
    body += "<ul>\n";
    for (const SkillState* state : found) {
      std::string says = html_text(state->skill->name);
      says.front() = capital(says.front());
      body += fmt::format("<li>{}</li>\n", says);
    }
    body += "</ul>\n";
  }
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
      "<title>{0}</title>\n<style>\n"
      "body {{ font: 1.1rem/1.5 Georgia, serif; max-width: 34rem; margin: 2rem auto; padding: 0 1rem; color: #222; "
      "background: #fff; }}\n"
      "h1 {{ font-size: 1.8rem; margin-bottom: 0; }}\nh2 {{ font-size: 1.2rem; color: #0b5563; margin-top: 1.6rem; "
      "border-bottom: 1px solid #999; }}\n@media print {{ body {{ margin: 0; }} }}\n</style>\n</head>\n<body>\n"
      "<main>\n<h1>{0}</h1>\n<p>{1}</p>\n{2}"
      "<p>Skills come back after a while, so that they stay. Listening together and asking to hear something helps "
      "more "
      "than counting minutes.</p>\n</main>\n</body>\n</html>\n",
      name, to_string(date), body);
}

std::string progress_json(const Student& student, const std::vector<SkillState>& states, int today) {
  nlohmann::ordered_json json{{"schema", 1},
                              {"student", student.id},
                              {"name", student.profile.name},
                              {"level", student.profile.level},
                              {"skills", nlohmann::ordered_json::array()}};
  for (const SkillState& state : states) {
    nlohmann::ordered_json skill{{"id", state.skill->id},           {"name", state.skill->name},
                                 {"strand", state.skill->strand},   {"level", state.skill->level},
                                 {"stage", to_string(state.stage)}, {"times", state.times},
                                 {"played_along", state.played},    {"box", state.box}};
    if (state.due) skill["due_in_days"] = *state.due - today;
    json["skills"].push_back(std::move(skill));
  }
  return json.dump() + "\n";
}

}  // namespace romanesca
