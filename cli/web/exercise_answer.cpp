#include "cli/exercise_json.h"
#include "cli/exercise_text.h"
#include "cli/web/exercise_markup.h"
#include "cli/web/page_answer.h"
#include "cli/web/page_exercise.h"
#include "theory/progression_text.h"

namespace romanesca {

Parsed<PageAnswer> exercises_answer(const PageRequest& request) {
  const Parsed<std::vector<Exercise>> exercises = page_exercises(request);
  if (!exercises) return exercises.error();
  PageAnswer answer;
  answer.json["exercises"] = OrderedJson::array();
  for (std::size_t i = 0; i < exercises->size(); ++i) {
    const Exercise& exercise = (*exercises)[i];
    OrderedJson json = exercise_json(exercise, choice_name(i), false);
    json["markup"] = exercise_markup(exercise);
    json["text"] = write_progression(exercise.shown());
    json["asked_key"] = to_string(exercise.asked_key);
    if (exercise.answer && !exercise.hidden.empty()) json["hidden"] = exercise.hidden;
    answer.json["exercises"].push_back(std::move(json));
  }
  return answer;
}

Parsed<PageAnswer> check_answer_of_page(const PageRequest& request) {
  const Parsed<std::vector<Exercise>> exercises = page_exercises(request.part("exercise"));
  if (!exercises) return exercises.error();
  const Parsed<ExerciseCheck> check = check_answer(exercises->front(), request.text("answer"));
  if (!check) return check.error();
  PageAnswer answer;
  answer.json = OrderedJson::parse(check_json(*check), nullptr, false);
  return answer;
}

}  // namespace romanesca
