#include "cli/formats/paper/exercise_drawing.h"

#include "cli/formats/paper/exercise_answers.h"
#include "cli/formats/paper/exercise_sheet.h"

namespace romanesca {
namespace {

/// One exercise on pages of its own.
void set_sheet(Drawing& drawing, const Exercise& exercise, const std::string& name, const std::string& over,
               const PaperSettings& paper) {
  PageFlow flow(drawing, paper);
  ExerciseSheet sheet(flow, exercise, name);
  sheet.head(over);
  if (exercise.family != ExerciseFamily::ear) sheet.chords();
  sheet.steps();
  sheet.safe_notes();
  sheet.hands();
  sheet.answer();
  sheet.advice();
  const bool composes = exercise.family == ExerciseFamily::compose || exercise.family == ExerciseFamily::improvise;
  if (composes) sheet.staves_to_write_on(exercise.family == ExerciseFamily::compose ? 4 : 2);
}

}  // namespace

void add_exercise_sheet(Drawing& drawing, const Exercise& exercise, const std::string& name, const std::string& over,
                        const PaperSettings& paper) {
  const PaperSettings best = fitted(paper, {1.2, 1.1, 1.0, 0.94, 0.88}, [&](const PaperSettings& settings) {
    Drawing trial;
    set_sheet(trial, exercise, name, over, settings);
    return trial.pages.size();
  });
  set_sheet(drawing, exercise, name, over, best);
}

Drawing exercise_drawing(std::span<const Exercise> exercises, bool answers, const PaperSettings& paper) {
  Drawing drawing;
  drawing.title = exercises.size() == 1 ? exercises.front().title : "Exercises to choose from";
  std::vector<std::string> names;
  for (std::size_t i = 0; i < exercises.size(); ++i) {
    const Exercise& exercise = exercises[i];
    const std::size_t first = drawing.pages.size();
    names.push_back(choice_name(i));
    add_exercise_sheet(drawing, exercise, exercises.size() == 1 ? "" : names.back(), "", paper);
    put_feet(drawing, first, "");
    if (exercises.size() > 1) drawing.pages[first].bookmark = exercise.title;
    drawing.description += exercise.title + ". " + exercise.goal + " ";
    for (const std::string& step : exercise.steps) drawing.description += step + " ";
  }
  const std::size_t first = drawing.pages.size();
  if (answers) add_answer_page(drawing, exercises, names, paper);
  put_feet(drawing, first, "");
  return drawing;
}

}  // namespace romanesca
