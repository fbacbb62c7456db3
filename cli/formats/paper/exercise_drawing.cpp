#include "cli/formats/paper/exercise_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "cli/formats/exercise_text.h"
#include "cli/formats/paper/keyboard_marks.h"
#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/text_layout.h"

namespace romanesca {
namespace {

/// A bar of rhythm as blocks, each as long as its note, over the count. @param area half of it is for the blocks
void add_rhythm(std::vector<Mark>& marks, const Box& area, std::span<const RhythmNote> rhythm, const Meter& meter) {
  const double height = area.height / 2;
  const auto place = [&](Beats time) { return area.x + area.width * time.quarters() / meter.bar_length().quarters(); };
  marks.emplace_back(BoxMark{{area.x, area.y, area.width, height}, Ink::light, Ink::light, 0.4});
  for (const RhythmNote& note : rhythm) {
    const double x = place(note.start);
    const double end = place(note.start + note.length);
    marks.emplace_back(BoxMark{{x + 1, area.y, end - x - 2, height}, Ink::accent, Ink::accent, 0.4});
  }
  const auto steps = counted(rhythm, meter);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const double x = area.x + area.width * static_cast<double>(i) / static_cast<double>(steps.size());
    marks.emplace_back(text_at(x + 3, area.y + 0.85 * area.height, steps[i].count, 0.3 * area.height, Weight::regular,
                               Ink::quiet, TextRole::note));
  }
}

/// Adds the teacher's page: for every exercise what is right and what its chords are.
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

class SheetSetter {
 public:
  SheetSetter(Drawing& drawing, const Exercise& exercise, std::string name, const PaperSettings& paper)
      : exercise_(exercise), name_(std::move(name)), scale_(paper.large ? 1.4 : 1.0), flow_(drawing, paper) {}

  void set() {
    flow_.marks();
    heading();
    if (exercise_.family != ExerciseFamily::ear) bars();
    notes();
    rhythm();
    safe_notes();
    hands();
    steps();
    advice();
    answer_line();
  }

 private:
  [[nodiscard]] double size(double points) const { return points * scale_; }

  void text_here(double x, const std::string& words, double points, Weight weight, Ink ink, TextRole role) {
    flow_.marks().push_back(text_at(x, flow_.y(), words, size(points), weight, ink, role));
  }

  /// A text broken into lines.
  void paragraph(double x, const std::string& words, double points, Weight weight = Weight::regular,
                 Ink ink = Ink::text) {
    for (const std::string& line : lines_within(words, margin + flow_.width() - x, size(points), weight)) {
      flow_.keep(size(1.45 * points));
      flow_.down(size(1.45 * points));
      text_here(x, line, points, weight, ink, TextRole::note);
    }
  }

  void caption(const std::string& words) {
    flow_.keep(size(60));
    flow_.down(size(22));
    text_here(margin, words, 11, Weight::bold, Ink::accent, TextRole::heading);
  }

  void heading() {
    flow_.down(size(20));
    double x = margin;
    if (!name_.empty()) {
      flow_.marks().push_back(RoundMark{x + size(12), flow_.y() - size(7), size(12), size(12), true, Ink::accent, 1});
      flow_.marks().push_back(text_centred(x + size(12), flow_.y() - size(2), name_, size(14), Weight::bold, Ink::paper,
                                           TextRole::heading));
      x += size(32);
    }
    double points = 20;
    const double wide = text_width(exercise_.title, size(points), Weight::bold);
    const double room = margin + flow_.width() - x;
    if (wide > room) points *= room / wide;
    text_here(x, exercise_.title, points, Weight::bold, Ink::text, TextRole::title);
    flow_.down(size(4));
    paragraph(margin, exercise_.goal, 12);
    flow_.down(size(16));
    text_here(margin,
              fmt::format("{}, level {}, {} minutes   {}", to_string(exercise_.family), exercise_.level,
                          exercise_.minutes, exercise_heading(exercise_)),
              8.5, Weight::regular, Ink::quiet, TextRole::note);
    flow_.down(size(7));
    flow_.marks().push_back(LineMark{margin, flow_.y(), margin + flow_.width(), flow_.y(), 1.6, Ink::accent});
  }

  /// The content of a bar.
  struct BarContent {
    std::vector<std::size_t> chords;
    std::uint32_t section = 0;
  };

  [[nodiscard]] std::vector<BarContent> bar_contents() const {
    std::vector<BarContent> result(static_cast<std::size_t>(timeline_.bars));
    for (std::size_t i = 0; i < timeline_.chords.size(); ++i) {
      BarContent& bar = result[static_cast<std::size_t>(timeline_.chords[i].bar) - 1];
      bar.chords.push_back(i);
      bar.section = timeline_.chords[i].section;
    }
    return result;
  }

  void bars() {
    constexpr std::size_t in_row = 4;
    const std::vector<BarContent> all = bar_contents();
    const double height = size(exercise_.melody.empty() ? 40 : 54);
    for (std::size_t bar = 0; bar < all.size();) {
      const std::string& name = exercise_.progression.sections[all[bar].section].name;
      const bool begins = bar == 0 || all[bar].section != all[bar - 1].section;
      if (begins && !name.empty()) caption(name);
      flow_.keep(height + size(10));
      flow_.down(size(10));
      for (std::size_t column = 0; column < in_row && bar < all.size(); ++column, ++bar) {
        if (column > 0 && all[bar].section != all[bar - 1].section) break;
        const double width = flow_.width() / in_row;
        bar_box({margin + static_cast<double>(column) * width, flow_.y(), width, height}, all[bar]);
      }
      flow_.down(height);
    }
  }

  void bar_box(const Box& box, const BarContent& bar) {
    auto& marks = flow_.marks();
    marks.push_back(BoxMark{box, Ink::paper, Ink::quiet, 0.8});
    const double width = box.width / static_cast<double>(std::max<std::size_t>(bar.chords.size(), 1));
    for (std::size_t n = 0; n < bar.chords.size(); ++n) {
      const std::size_t i = bar.chords[n];
      const double x = box.x + static_cast<double>(n) * width + size(8);
      const std::string above = melody_at(i);
      double y = box.y + size(19);
      if (!exercise_.melody.empty()) {
        marks.push_back(text_at(x, box.y + size(13), above, size(9.5), Weight::bold, Ink::accent, TextRole::note));
        y += size(14);
      }
      if (std::binary_search(exercise_.hidden.begin(), exercise_.hidden.end(), i)) {
        marks.push_back(LineMark{x, y + size(9), x + width - size(18), y + size(9), 0.9, Ink::text});
        continue;
      }
      double points = size(16);
      const std::string symbol = to_string(*timeline_.chords[i].chord);
      points = std::min(points, points * (width - size(12)) / text_width(symbol, points, Weight::bold));
      marks.push_back(text_at(x, y, symbol, points, Weight::bold, Ink::text, TextRole::chord));
      marks.push_back(text_at(x, y + size(14), numeral(i), size(9.5), Weight::regular, Ink::accent, TextRole::numeral));
    }
  }

  [[nodiscard]] std::string numeral(std::size_t place) const {
    std::size_t from = 0;
    for (std::size_t i = 0; i < place; ++i) from = exercise_.numerals.find(' ', from) + 1;
    return exercise_.numerals.substr(from, exercise_.numerals.find(' ', from) - from);
  }

  /// The melody's notes over a chord.
  [[nodiscard]] std::string melody_at(std::size_t place) const {
    const TimedChord& timed = timeline_.chords[place];
    std::string names;
    for (const MelodyNote& note : exercise_.melody) {
      const bool here = timed.start <= note.start && note.start < timed.start + timed.length;
      if (here) names += (names.empty() ? "melody " : " ") + to_string(note.pitch);
    }
    return names;
  }

  void notes() {
    if (exercise_.notes.empty()) return;
    caption("Notes");
    flow_.down(size(8));
    HandsChord hand;
    hand.right = exercise_.keyboard_notes();
    const double height = size(62);
    flow_.keep(height + size(16));
    const Box box = add_keyboard(flow_.marks(), {margin, flow_.y(), flow_.width() * 0.6, height}, hand);
    std::string names;
    for (const PitchClass note : exercise_.notes) names += (names.empty() ? "" : "  ") + to_string(note);
    flow_.marks().push_back(text_at(box.x + box.width + size(16), box.y + box.height / 2 + size(5), names, size(13),
                                    Weight::bold, Ink::text, TextRole::note));
    flow_.down(box.height);
  }

  void rhythm() {
    if (exercise_.rhythm.empty()) return;
    caption("Rhythm");
    flow_.down(size(6));
    const Box area{margin, flow_.y(), flow_.width() * 0.6, size(30)};
    flow_.keep(area.height);
    add_rhythm(flow_.marks(), {area.x, flow_.y(), area.width, area.height}, exercise_.rhythm,
               exercise_.progression.meter());
    flow_.down(area.height);
  }

  void safe_notes() {
    const bool all_hidden = exercise_.hidden.size() == timeline_.chords.size();
    if (exercise_.safe.empty() || all_hidden) return;
    caption("Chord by chord");
    const auto names = [](const std::vector<PitchClass>& from) {
      std::string text;
      for (const PitchClass note : from) text += (text.empty() ? "" : " ") + to_string(note);
      return text;
    };
    const std::array<double, 4> columns{0, 70, 210, 350};
    const auto row = [&](const std::array<std::string, 4>& cells, bool heads) {
      flow_.keep(size(14));
      flow_.down(size(14));
      for (std::size_t c = 0; c < cells.size(); ++c) {
        text_here(margin + size(columns[c]), cells[c], heads ? 8.5 : 10.5,
                  heads || c > 0 ? Weight::regular : Weight::bold, heads ? Ink::quiet : Ink::text, TextRole::note);
      }
    };
    row({"", "at home", "in between", "rubs, move on"}, true);
    std::vector<std::string> known;
    for (std::size_t i = 0; i < exercise_.safe.size(); ++i) {
      const std::string chord = to_string(*timeline_.chords[i].chord);
      if (std::find(known.begin(), known.end(), chord) != known.end()) continue;
      known.push_back(chord);
      const ChordScale& scale = exercise_.safe[i];
      row({chord, names(scale.tones), names(scale.passing), names(scale.tense)}, false);
    }
  }

  void hands() {
    if (exercise_.shapes.empty()) return;
    caption("Hands");
    add_hands_legend(flow_.marks(), margin + size(60), flow_.y(), size(8.5));
    const std::size_t columns = exercise_.shapes.size() > 6 ? 3 : 2;
    const double gap = size(16);
    const double width = (flow_.width() - gap * static_cast<double>(columns - 1)) / static_cast<double>(columns);
    const double keys = size(50);
    const double row = keys + size(24);
    for (std::size_t i = 0; i < exercise_.shapes.size(); ++i) {
      const std::size_t column = i % columns;
      if (column == 0) {
        if (i > 0) flow_.down(row);
        flow_.keep(row);
      }
      const ExerciseShape& shape = exercise_.shapes[i];
      const double x = margin + static_cast<double>(column) * (width + gap);
      flow_.marks().push_back(
          text_at(x, flow_.y() + size(16), shape.name, size(9.5), Weight::bold, Ink::text, TextRole::note));
      add_keyboard(flow_.marks(), {x, flow_.y() + size(20), width, keys}, shape.hands);
    }
    flow_.down(row);
  }

  void steps() {
    caption("Steps");
    for (std::size_t i = 0; i < exercise_.steps.size(); ++i) {
      flow_.keep(size(40));
      flow_.down(size(3));
      const double above = flow_.y();
      paragraph(margin + size(20), exercise_.steps[i], 12);
      flow_.marks().push_back(text_at(margin, above + size(1.45 * 12), fmt::format("{}.", i + 1), size(12),
                                      Weight::bold, Ink::accent, TextRole::note));
    }
  }

  void advice() {
    flow_.down(size(10));
    const auto line = [&](const std::string& name, const std::string& words) {
      flow_.keep(size(32));
      const double above = flow_.y();
      paragraph(margin + size(62), words, 10);
      flow_.marks().push_back(
          text_at(margin, above + size(14.5), name, size(10), Weight::bold, Ink::accent, TextRole::note));
      flow_.down(size(2));
    };
    line("Easier", exercise_.easier);
    line("Harder", exercise_.harder);
    line("Listen", exercise_.listen);
    for (const ExplainedWord& word : exercise_.words) {
      line(&word == &exercise_.words.front() ? "Words" : "", word.word + ": " + word.meaning);
    }
    if (!exercise_.caution.empty()) line("Care", exercise_.caution);
  }

  void answer_line() {
    if (!exercise_.answer) return;
    flow_.keep(size(44));
    flow_.down(size(6));
    paragraph(margin, exercise_.answer->asks, 11, Weight::bold);
    flow_.down(size(26));
    // A short line for each word; for chords one to write on as one likes.
    const bool words = exercise_.answer->rule == AnswerRule::words;
    const std::size_t places = words ? exercise_.answer->solution.size() : 1;
    const double width = flow_.width() / static_cast<double>(std::max<std::size_t>(places, words ? 4 : 1));
    for (std::size_t i = 0; i < places; ++i) {
      const double x = margin + static_cast<double>(i) * width;
      if (places > 1) text_here(x, std::to_string(i + 1), 9, Weight::regular, Ink::quiet, TextRole::note);
      flow_.marks().push_back(
          LineMark{x + (places > 1 ? size(12) : 0), flow_.y(), x + width - size(6), flow_.y(), 0.9, Ink::text});
    }
  }

  const Exercise& exercise_;
  std::string name_;
  double scale_;
  Timeline timeline_ = exercise_.timeline();
  PageFlow flow_;
};

}  // namespace

Drawing exercise_drawing(std::span<const Exercise> exercises, bool answers, const PaperSettings& paper) {
  Drawing drawing;
  drawing.title = exercises.size() == 1 ? exercises.front().title : "Exercises to choose from";
  for (std::size_t i = 0; i < exercises.size(); ++i) {
    const Exercise& exercise = exercises[i];
    const std::size_t first = drawing.pages.size();
    SheetSetter(drawing, exercise, exercises.size() == 1 ? "" : choice_name(i), paper).set();
    if (exercises.size() > 1) drawing.pages[first].bookmark = exercise.title;
    drawing.description += exercise.title + ". " + exercise.goal + " ";
    for (const std::string& step : exercise.steps) drawing.description += step + " ";
  }
  if (answers) add_answer_page(drawing, exercises, paper);
  return drawing;
}

}  // namespace romanesca
