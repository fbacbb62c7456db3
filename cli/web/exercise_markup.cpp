#include "cli/web/exercise_markup.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/exercise_text.h"
#include "cli/rhythm_text.h"
#include "cli/web/html_text.h"
#include "cli/web/keyboard_svg.h"

namespace romanesca {
namespace {

template <typename Notes>
std::string names(const Notes& notes) {
  std::string text;
  for (const auto& note : notes) text += (text.empty() ? "" : " ") + to_string(note);
  return text;
}

class ExerciseMarkup {
 public:
  explicit ExerciseMarkup(const Exercise& exercise) : exercise_(exercise), timeline_(exercise.timeline()) {}

  std::string text() {
    paragraph("goal", exercise_.goal);
    paragraph("heading", fmt::format("{}, level {}, {} minutes. {}", to_string(exercise_.family), exercise_.level,
                                     exercise_.minutes, exercise_heading(exercise_)));
    if (exercise_.family != ExerciseFamily::ear) bars();
    steps();
    notes();
    rhythm();
    melody();
    safe_notes();
    hands();
    advice();
    return std::move(text_);
  }

 private:
  [[nodiscard]] bool is_hidden(std::size_t chord) const {
    return std::binary_search(exercise_.hidden.begin(), exercise_.hidden.end(), chord);
  }

  void paragraph(const char* kind, const std::string& words) {
    text_ += fmt::format(R"(<p class="{}">{}</p>)", kind, html_text(words));
  }

  void bars() {
    text_ += R"(<ol class="bars">)";
    std::size_t from = 0;
    int bar = 0;
    for (std::size_t i = 0; i < timeline_.chords.size(); ++i) {
      const TimedChord& timed = timeline_.chords[i];
      const std::size_t end = std::min(exercise_.numerals.find(' ', from), exercise_.numerals.size());
      const std::string numeral = from < end ? exercise_.numerals.substr(from, end - from) : "";
      from = end + 1;
      if (timed.bar != bar)
        text_ += fmt::format(R"({}<li class="bar" data-bar="{}">)", bar == 0 ? "" : "</li>", timed.bar);
      bar = timed.bar;
      const std::string symbol = timed.chord ? to_string(*timed.chord) : "N.C.";
      text_ += is_hidden(i)
                   ? fmt::format(R"(<span class="chord" data-chord="{}"><b class="open">?</b><i></i></span>)", i)
                   : fmt::format(R"(<span class="chord" data-chord="{}"><b>{}</b><i>{}</i></span>)", i,
                                 html_text(symbol), html_text(numeral));
    }
    text_ += bar == 0 ? "</ol>" : "</li></ol>";
  }

  void steps() {
    text_ += R"(<h3>Steps</h3><ol class="steps">)";
    for (const std::string& step : exercise_.steps) text_ += "<li>" + html_text(step) + "</li>";
    text_ += "</ol>";
    if (exercise_.answer) paragraph("asks", exercise_.answer->asks);
  }

  void notes() {
    if (exercise_.notes.empty()) return;
    HandsChord hand;
    hand.right = exercise_.keyboard_notes();
    const std::string listed = names(exercise_.notes);
    text_ += fmt::format(R"(<h3>Notes</h3>{}<p class="notes">{}</p>)", keyboard_svg(hand, "notes " + listed),
                         html_text(listed));
  }

  void rhythm() {
    if (exercise_.rhythm.empty()) return;
    text_ +=
        R"(<h3>Rhythm</h3><div class="scroller" tabindex="0" role="region" aria-label="Rhythm"><table class="rhythm"><tr><th scope="row">count</th>)";
    const std::vector<CountedStep> steps = counted(exercise_.rhythm, exercise_.progression.meter());
    for (const CountedStep& step : steps) text_ += fmt::format("<td>{}</td>", html_text(step.count));
    text_ += R"(</tr><tr><th scope="row">play</th>)";
    for (const CountedStep& step : steps) {
      text_ += step.sign == 'x'   ? R"(<td class="strike">play</td>)"
               : step.sign == '-' ? R"(<td class="hold">hold</td>)"
                                  : "<td></td>";
    }
    text_ += "</tr></table></div>";
  }

  void melody() {
    if (exercise_.melody.empty()) return;
    const Beats bar = exercise_.progression.meter().bar_length();
    std::string line;
    for (const MelodyNote& note : exercise_.melody) {
      line +=
          fmt::format("{}bar {} {}", line.empty() ? "" : ", ", whole_times(note.start, bar) + 1, to_string(note.pitch));
    }
    text_ += "<h3>Melody</h3>";
    paragraph("notes", line);
  }

  void safe_notes() {
    if (exercise_.safe.empty() || exercise_.hidden.size() == timeline_.chords.size()) return;
    text_ +=
        R"(<h3>Chord by chord</h3><div class="scroller" tabindex="0" role="region" aria-label="Chord by chord"><table><tr><th scope="col">chord</th><th scope="col">at home</th><th scope="col">in between</th>)"
        R"(<th scope="col">rubs, move on</th></tr>)";
    std::vector<std::string> known;
    for (std::size_t i = 0; i < exercise_.safe.size(); ++i) {
      if (is_hidden(i)) continue;
      const ChordScale& scale = exercise_.safe[i];
      const std::string chord = to_string(*timeline_.chords[i].chord);
      if (std::find(known.begin(), known.end(), chord) != known.end()) continue;
      known.push_back(chord);
      text_ +=
          fmt::format(R"(<tr><th scope="row">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>)", html_text(chord),
                      html_text(names(scale.tones)), html_text(names(scale.passing)), html_text(names(scale.tense)));
    }
    text_ += "</table></div>";
  }

  void hands() {
    if (exercise_.shapes.empty()) return;
    text_ += R"(<h3>Hands</h3><ul class="shapes">)";
    for (const ExerciseShape& shape : exercise_.shapes) {
      const std::string words = hands_in_words(shape.hands);
      text_ += fmt::format(R"(<li class="shape"><h4>{}</h4>{}<p>{}</p></li>)", html_text(shape.name),
                           keyboard_svg(shape.hands, shape.name + ": " + words), html_text(words));
    }
    text_ += "</ul>";
  }

  void advice() {
    text_ += R"(<dl class="advice">)";
    const auto line = [&](const std::string& name, const std::string& words) {
      if (!words.empty()) text_ += fmt::format("<dt>{}</dt><dd>{}</dd>", html_text(name), html_text(words));
    };
    line("Easier", exercise_.easier);
    line("Harder", exercise_.harder);
    line("Listen", exercise_.listen);
    for (const ExplainedWord& word : exercise_.words) line(word.word, word.meaning);
    line("Care", exercise_.caution);
    text_ += "</dl>";
  }

  const Exercise& exercise_;
  Timeline timeline_;
  std::string text_;
};

}  // namespace

std::string exercise_markup(const Exercise& exercise) { return ExerciseMarkup(exercise).text(); }

}  // namespace romanesca
