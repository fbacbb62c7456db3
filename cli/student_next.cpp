#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <memory>

#include "cli/answer.h"
#include "cli/backing_file.h"
#include "cli/chart_file.h"
#include "cli/failure.h"
#include "cli/hand_options.h"
#include "cli/output_file.h"
#include "cli/record/learner.h"
#include "cli/record/record_json.h"
#include "cli/student_action.h"
#include "cli/student_text.h"
#include "cli/user_levels.h"
#include "cli/wrapped_text.h"
#include "progressions/lesson_plan.h"

namespace romanesca {
namespace {

struct NextOptions {
  std::string name, date, accept;
  std::optional<std::uint64_t> seed;
  CommonOptions common;
};

/// One of the choices, with its exercise.
struct Choice {
  std::string letter;
  Proposal proposal;
  Exercise exercise;
};

std::vector<Choice> choices_for(const StudentRecord& record, std::uint64_t seed, const Console& console) {
  const std::vector<Level> levels = user_levels(console);
  std::vector<Choice> choices;
  for (Proposal& proposal : plan_lesson(learner_of(record), exercise_kinds(), levels, seed)) {
    Exercise exercise = value_or_throw(exercise_of(proposal, levels));
    choices.push_back(
        {std::string(1, static_cast<char>('A' + choices.size())), std::move(proposal), std::move(exercise)});
  }
  return choices;
}

const Choice& accepted_choice(const std::vector<Choice>& choices, const std::string& letter) {
  const auto found = std::find_if(choices.begin(), choices.end(), [&](const Choice& each) {
    return each.letter == letter || fmt::format("{}", static_cast<char>(each.letter[0] - 'A' + 'a')) == letter;
  });
  if (found != choices.end()) return *found;
  throw Failure(ExitStatus::wrong_input, fmt::format("--accept: \"{}\" is none of the choices", letter),
                fmt::format("they are A to {}", choices.back().letter));
}

bool is_backing(const std::string& path) {
  const auto& endings = backing_endings();
  return std::find(endings.begin(), endings.end(), ending_of(path)) != endings.end();
}

void check_files(const NextOptions& options) {
  std::vector<std::string> endings = chart_endings();
  endings.insert(endings.end(), backing_endings().begin(), backing_endings().end());
  for (const std::string& path : options.common.out) check_ending(path, endings);
  if (options.common.out.empty() || !options.accept.empty()) return;
  throw Failure(ExitStatus::wrong_input, "--out makes the files of the choice that is accepted",
                "say which one, like --accept B");
}

/// The chart and the backing of a choice, as the student may see and hear them.
void write_files(const Choice& choice, const Profile& profile, const NextOptions& options, Console& console) {
  if (options.common.out.empty()) return;
  NamedProgression source{choice.exercise.shown(), choice.exercise.title, {}};
  source.progression.title = choice.exercise.title;
  const PlacedProgression placed = place(std::move(source), std::nullopt);
  HandOptions hand_options;
  hand_options.level = choice.proposal.level;
  hand_options.span = profile.span;
  const Hands hands = hands_for(placed.analysis.timeline, hand_options.settings(console), placed.analysis.keys.by_bar);
  PaperSettings paper;
  paper.advice = hand_options.advice(console);
  for (const std::string& path : options.common.out) {
    if (is_backing(path)) {
      write_backing(placed, path, console);
    } else {
      write_file(path, chart_in_format(ending_of(path), placed, hands, paper));
    }
  }
}

Entry entry_of(const Choice& choice, const Date& date) {
  Entry entry;
  entry.date = date;
  entry.kind = EntryKind::chosen;
  entry.exercise = choice.proposal.exercise;
  entry.key = choice.proposal.key;
  entry.level = choice.proposal.level;
  entry.seed = static_cast<std::int64_t>(choice.proposal.seed);
  entry.choice = choice.letter;
  return entry;
}

nlohmann::ordered_json choice_json(const Choice& choice) {
  const auto& [letter, proposal, exercise] = choice;
  constexpr std::array<std::string_view, 3> steps{"twist", "further", "surprise"};
  return {{"id", proposal.exercise},
          {"choice", letter},
          {"kind", to_string(exercise.family)},
          {"level", proposal.level},
          {"key", to_string(proposal.key)},
          {"seed", proposal.seed},
          {"step", steps[static_cast<std::size_t>(proposal.step)]},
          {"reason", proposal.reason},
          {"title", exercise.title},
          {"goal", exercise.goal},
          {"steps", exercise.steps},
          {"progression", exercise.numerals},
          {"minutes", exercise.minutes}};
}

std::string choice_text(const Choice& choice, int width) {
  const auto& [letter, proposal, exercise] = choice;
  std::string text = fmt::format("{}  {}: {}\n", letter, says(proposal.step), exercise.title);
  text += wrapped("    ", proposal.reason, width);
  text += wrapped("    ", exercise.goal, width);
  return text + wrapped("    ",
                        fmt::format("[{}, {}, level {}, seed {}, {} minutes]", proposal.exercise,
                                    to_string(proposal.key), proposal.level, proposal.seed, exercise.minutes),
                        width);
}

std::string accepted_text(const Choice& choice, const Entry& entry, const NextOptions& options, int width) {
  std::string text = choice_text(choice, width);
  for (std::size_t i = 0; i < choice.exercise.steps.size(); ++i) {
    text += wrapped(fmt::format("    {}. ", i + 1), choice.exercise.steps[i], width);
  }
  text += fmt::format("Written down as number {}; when it is done: romanesca student note {} --done {}\n", entry.number,
                      options.name, entry.number);
  for (const std::string& path : options.common.out) {
    text += fmt::format("{}  {}\n", path, is_backing(path) ? "the backing" : "the chart");
  }
  return text;
}

void run_next(const NextOptions& options, Console& console) {
  check_files(options);
  const Date date = date_or_today(options.date, console);
  Store store(console.data);
  const Student student = student_named(store, options.name);
  const StudentRecord record{student, store.history(student.id)};
  const std::uint64_t seed = options.seed.value_or(plan_seed(record, date));
  const std::vector<Choice> choices = choices_for(record, seed, console);
  nlohmann::ordered_json json{
      {"schema", 1}, {"student", student.id}, {"seed", seed}, {"exercises", nlohmann::ordered_json::array()}};
  for (const Choice& choice : choices) json["exercises"].push_back(choice_json(choice));
  std::string text;
  if (options.accept.empty()) {
    for (const Choice& choice : choices) text += choice_text(choice, console.width) + "\n";
    text += fmt::format("To write one down: romanesca student next {} --accept A --seed {}\n", options.name, seed);
  } else {
    const Choice& choice = accepted_choice(choices, options.accept);
    write_files(choice, student.profile, options, console);
    const Entry entry = store.note(student.id, entry_of(choice, date));
    json["accepted"] = entry_json(entry);
    json["files"] = options.common.out;
    text = accepted_text(choice, entry, options, console.width);
  }
  give_answer(options.common.json ? json.dump() + "\n" : text, std::nullopt, console);
}

}  // namespace

std::function<void()> set_up_student_next(CLI::App& app, Console& console) {
  auto options = std::make_shared<NextOptions>();
  add_student_name(app, options->name);
  app.add_option("--accept", options->accept, "write down the choice A, B or C")->type_name("LETTER");
  options->common.add_out(
      app,
      ".pdf, .svg, .png, .musicxml or .txt for the chart of the accepted choice, .wav, .flac or .mid "
      "for its backing; may be given several times");
  app.add_option("--seed", options->seed, "other choices; the same ones again on another day")->type_name("N");
  add_date(app, options->date);
  options->common.add_json(app);
  return [options, &console] { run_next(*options, console); };
}

}  // namespace romanesca
