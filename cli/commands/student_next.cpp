#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <memory>

#include "cli/commands/student_action.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/chart_file.h"
#include "cli/formats/exercise_json.h"
#include "cli/formats/exercise_text.h"
#include "cli/formats/paper/exercise_drawing.h"
#include "cli/formats/paper/paint.h"
#include "cli/formats/record_export.h"
#include "cli/formats/wrapped_text.h"
#include "cli/options.h"
#include "cli/studio/file_io.h"
#include "cli/studio/lesson_proposals.h"
#include "cli/studio/own_settings.h"
#include "progressions/lesson_plan.h"

namespace romanesca {
namespace {

struct NextOptions {
  std::string name, date, accept;
  std::optional<std::uint64_t> seed;
  std::vector<std::string> charts;
  CommonOptions common;
};

const LessonChoice& accepted_choice(const std::vector<LessonChoice>& choices, const std::string& letter) {
  const auto found = std::find_if(choices.begin(), choices.end(), [&](const LessonChoice& each) {
    return letter.size() == 1 && (letter == each.letter || letter[0] == each.letter[0] - 'A' + 'a');
  });
  if (found != choices.end()) return *found;
  throw Failure(ExitStatus::wrong_input, fmt::format("--accept: \"{}\" is not one of the choices", letter),
                fmt::format("they are A to {}", choices.back().letter));
}

bool is_sound(const std::string& ending) { return ending == "wav" || ending == "flac" || ending == "mid"; }

void check_files(const NextOptions& options) {
  for (const std::string& path : options.common.out) {
    check_ending(path, {"pdf", "png", "svg", "txt", "json", "wav", "flac", "mid"});
  }
  for (const std::string& path : options.charts) check_ending(path, chart_endings(), "--chart");
  if ((options.common.out.empty() && options.charts.empty()) || !options.accept.empty()) return;
  throw Failure(ExitStatus::wrong_input, "files are made of the choice that is accepted",
                "say which one, like --accept B");
}

/// The exercise on paper or as sound. @return a line for a person
std::string write_exercise(const LessonChoice& choice, const std::string& path, Console& console) {
  const std::string ending = ending_of(path);
  if (is_sound(ending)) return export_exercise_audio(choice.exercise, path, console);
  constexpr int columns = 80;
  const std::span one(&choice.exercise, 1);
  or_throw(write_file(path, ending == "txt"    ? exercise_text(choice.exercise, {"", false, "", columns})
                            : ending == "json" ? exercises_json(one, false)
                                               : painted(exercise_drawing(one, false, {}), ending)));
  return fmt::format("{}  the exercise\n", path);
}

/// The exercise's chords, as far as the student may see them, for the student's hands. @return a line for a person
std::string write_chart(const LessonChoice& choice, const Profile& profile, const std::string& path,
                        const Console& console) {
  NamedProgression source{choice.exercise.shown(), choice.exercise.title, {}};
  source.progression.title = choice.exercise.title;
  const Placement placed = value_or_throw(place(std::move(source), std::nullopt));
  const HandSettings settings =
      value_or_throw(student_hands(choice.proposal.level, profile.span, console.configuration));
  const Hands hands = hands_for(placed.analysis.timeline, settings, placed.analysis.keys.by_bar);
  HandOptions hand_options;
  hand_options.level = choice.proposal.level;
  PaperSettings paper;
  paper.advice = hand_options.advice(console);
  or_throw(write_file(path, chart_in_format(ending_of(path), placed, hands, paper)));
  return fmt::format("{}  the chart\n", path);
}

nlohmann::ordered_json choice_json(const LessonChoice& choice) {
  constexpr std::array<std::string_view, 4> steps{"twist", "further", "surprise", "beginning"};
  OrderedJson json = exercise_json(choice.exercise, choice.letter, false);
  json["plan"] = {{"step", steps[static_cast<std::size_t>(choice.proposal.step)]},
                  {"reason", choice.proposal.reason},
                  {"key", to_string(choice.proposal.key)}};
  return json;
}

std::string choice_text(const LessonChoice& choice, int width) {
  const auto& [letter, proposal, exercise] = choice;
  std::string text = fmt::format("{}  {}: {}\n", letter, description(proposal.step), exercise.title);
  text += wrapped("    ", proposal.reason, width);
  text += wrapped("    ", exercise.goal, width);
  return text + wrapped("    ",
                        fmt::format("[{}, {}, level {}, seed {}, {} minutes]", proposal.exercise,
                                    to_string(proposal.key), proposal.level, proposal.seed, exercise.minutes),
                        width);
}

/// Makes the files and writes the choice down, in this order: what cannot be made is not written down.
std::string accept(const LessonChoice& choice, const StudentRecord& record, const NextOptions& options, Store& store,
                   nlohmann::ordered_json& json, Console& console) {
  std::string files;
  for (const std::string& path : options.common.out) files += write_exercise(choice, path, console);
  for (const std::string& path : options.charts) {
    files += write_chart(choice, record.student.profile, path, console);
  }
  const Entry entry =
      value_or_throw(store.note(record.student.id, entry_of(choice, date_or_today(options.date, console))));
  json["accepted"] = entry_json(entry);
  json["files"] = options.common.out;
  for (const std::string& path : options.charts) json["files"].push_back(path);
  return exercise_text(choice.exercise, {choice.letter, false, "", console.width}) +
         fmt::format("\n{}Written down as number {}; when it is done: romanesca student note {} --done {}\n", files,
                     entry.number, record.student.id, entry.number);
}

/// The choices of the family song over the student's own song, in its key or, for a beginner, in an easier one.
void use_song(std::vector<LessonChoice>& choices, const NextOptions& options, Console& console) {
  if (options.common.progression.empty()) return;
  const Placement placed = options.common.placed(console);
  const auto levels = value_or_throw(own_levels(console.configuration));
  for (LessonChoice& choice : choices) {
    if (choice.exercise.family != ExerciseFamily::song) continue;
    ExerciseRequest request;
    request.key = placed.key;
    request.key_is_free = true;
    request.song = placed.progression;
    request.level = levels[static_cast<std::size_t>(choice.proposal.level) - 1];
    request.id = choice.proposal.exercise;
    request.seed = choice.proposal.seed;
    request.choices = 1;
    choice.exercise = value_or_throw(set_exercises(request)).front();
    choice.proposal.key = choice.exercise.asked_key;
  }
}

void run_next(const NextOptions& options, Console& console) {
  check_files(options);
  const Date date = date_or_today(options.date, console);
  Store store = value_or_throw(Store::open(console.data));
  const Student student = value_or_throw(student_named(store, options.name));
  const StudentRecord record{student, value_or_throw(store.history(student.id))};
  const std::uint64_t seed = options.seed.value_or(plan_seed(record, date));
  std::vector<LessonChoice> choices = value_or_throw(lesson_choices(record, seed, console.configuration, date));
  use_song(choices, options, console);
  nlohmann::ordered_json json{
      {"schema", 1}, {"student", student.id}, {"seed", seed}, {"exercises", nlohmann::ordered_json::array()}};
  for (const LessonChoice& choice : choices) json["exercises"].push_back(choice_json(choice));
  std::string text;
  if (options.accept.empty()) {
    for (const LessonChoice& choice : choices) text += choice_text(choice, console.width) + "\n";
    text += fmt::format("To write one down: romanesca student next {} --accept A --seed {}\n", student.id, seed);
  } else {
    text = accept(accepted_choice(choices, options.accept), record, options, store, json, console);
  }
  write_output(options.common.json ? json.dump() + "\n" : text, std::nullopt, console);
}

}  // namespace

std::function<void()> set_up_student_next(OptionParser& parser, Console& console) {
  auto options = std::make_shared<NextOptions>();
  add_student_name(parser, options->name);
  parser
      .add_option("--song", options->common.progression,
                  "the student's own song for the choice that works with one: chords, a file or a library id")
      .value_name("PROGRESSION");
  parser.add_option("--accept", options->accept, "write down the choice A, B or C").value_name("LETTER");
  options->common.add_out(parser,
                          "the accepted exercise as .pdf, .svg, .png, .txt or .json, its sound as .wav, .flac or "
                          ".mid; may be given several times");
  parser.add_option("--chart", options->charts, "the chart of its chords: .pdf, .svg, .png, .musicxml, .txt or .json")
      .value_name("FILE");
  parser.add_option("--seed", options->seed, "other choices; the same ones again on another day")
      .value_name("N")
      .check_seed();
  add_date(parser, options->date);
  options->common.add_json(parser);
  return [options, &console] { run_next(*options, console); };
}

}  // namespace romanesca
