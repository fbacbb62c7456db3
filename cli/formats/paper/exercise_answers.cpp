#include "cli/formats/paper/exercise_answers.h"

#include "cli/formats/exercise_text.h"
#include "cli/formats/paper/page_flow.h"

namespace romanesca {

void add_answer_page(Drawing& drawing, std::span<const Exercise> exercises, std::span<const std::string> names,
                     const PaperSettings& paper) {
  PageFlow flow(drawing, paper);
  drawing.pages.back().bookmark = "Answers";
  put_head(flow, {"Answers", {"for the teacher"}, {}});
  const double scale = paper.scale();
  const TextStyle body{11 * scale, Face::roman};
  for (std::size_t i = 0; i < exercises.size(); ++i) {
    const Exercise& exercise = exercises[i];
    flow.keep(80 * scale);
    flow.down(24 * scale);
    flow.text(flow.left(), names[i] + "  " + exercise.title,
              {12.5 * scale, Face::bold, Ink::accent, TextRole::heading, MarkKind::text});
    std::string chords;
    for (const TimedChord& timed : exercise.timeline().chords)
      chords += (timed.chord ? to_string(*timed.chord) : "N.C.") + "  ";
    const std::string solution = exercise.answer ? solution_text(*exercise.answer) : "There is no right or wrong here.";
    for (const std::string& text : {solution, "Chords: " + chords}) {
      flow.paragraph(flow.left(), PageFlow::block_width, sentence_with_signs(text), body, 15 * scale);
    }
  }
}

}  // namespace romanesca
