#include "cli/formats/paper/answer_page.h"

#include "cli/formats/exercise_text.h"
#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/paragraph.h"
#include "cli/formats/paper/text_size.h"

namespace romanesca {

void add_answer_page(Drawing& drawing, std::span<const Exercise> exercises, const PaperSettings& paper) {
  PageFlow flow(drawing, paper);
  drawing.pages.back().bookmark = "Answers";
  flow.down(20);
  flow.marks().emplace_back(text_at(margin, flow.y(), "Answers", 20, Weight::bold, Ink::text, TextRole::title));
  for (std::size_t i = 0; i < exercises.size(); ++i) {
    const Exercise& exercise = exercises[i];
    const auto& answer = exercise.answer;
    flow.keep(80);
    flow.down(26);
    flow.marks().emplace_back(text_at(margin, flow.y(), choice_name(i) + "  " + exercise.title, 12, Weight::bold,
                                      Ink::accent, TextRole::heading));
    std::string chords;
    for (const TimedChord& timed : exercise.timeline().chords) chords += to_string(*timed.chord) + "  ";
    std::vector<std::string> lines = lines_within(answer ? solution_text(*answer) : "There is no right or wrong here.",
                                                  flow.width(), 11, Weight::regular);
    for (std::string& line : lines_within("Chords: " + chords, flow.width(), 11, Weight::regular)) {
      lines.push_back(std::move(line));
    }
    for (const std::string& line : lines) {
      flow.keep(16);
      flow.down(16);
      flow.marks().emplace_back(text_at(margin, flow.y(), line, 11, Weight::regular, Ink::text, TextRole::note));
    }
  }
}

}  // namespace romanesca
