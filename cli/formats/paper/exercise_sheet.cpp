#include "cli/formats/paper/exercise_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "cli/formats/exercise_text.h"
#include "cli/formats/paper/chart_drawing.h"
#include "cli/formats/paper/chart_hands.h"
#include "cli/formats/paper/chart_rows.h"
#include "cli/formats/paper/chord_lettering.h"
#include "cli/formats/paper/keyboard_marks.h"
#include "cli/formats/paper/text_layout.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

constexpr double text_x = 28;      // of a step's words, from the left edge
constexpr double picture_x = 236;  // of a step's picture
constexpr double step_size = 12;
constexpr double step_leading = 16;

/// "the rhythm below" stands beside its step here.
std::string as_printed(std::string text) {
  for (const std::string_view word : {"the rhythm below", "The rhythm below"}) {
    const std::size_t at = text.find(word);
    if (at != std::string::npos) text.replace(at + 4, word.size() - 4, "rhythm shown");
  }
  return sentence_with_signs(text);
}

bool mentions(const std::string& text, std::initializer_list<std::string_view> words) {
  const std::string small = small_letters(text);
  return std::any_of(words.begin(), words.end(),
                     [&](std::string_view word) { return small.find(word) != std::string::npos; });
}

}  // namespace

ExerciseSheet::ExerciseSheet(PageFlow& flow, const Exercise& exercise, std::string name)
    : flow_(flow),
      exercise_(exercise),
      name_(std::move(name)),
      scale_(flow.paper().scale()),
      chart_(exercise_chart(exercise)) {}

void ExerciseSheet::heading(const std::string& words) {
  flow_.keep(size(70));
  flow_.down(size(22));
  flow_.text(flow_.left(), words, {size(11.5), Face::bold, Ink::accent, TextRole::heading, MarkKind::text});
}

void ExerciseSheet::head(const std::string& over) {
  std::vector<std::string> facts{std::string(to_string(exercise_.family)), fmt::format("level {}", exercise_.level)};
  for (const std::string& fact : chart_facts(exercise_.progression, exercise_.key)) facts.push_back(fact);
  facts.push_back(fmt::format("about {} minutes", exercise_.minutes));
  auto data = data_of(flow_.paper());
  if (data.empty()) data = {{"name", ""}, {"date", ""}};
  put_head(flow_, {name_.empty() ? exercise_.title : name_ + "  " + exercise_.title, facts, data, over});
  flow_.down(size(5));
  flow_.paragraph(flow_.left(), PageFlow::block_width, sentence_with_signs(exercise_.goal), {size(13), Face::italic},
                  size(17));
  flow_.down(size(11));
  flow_.rule(0.5);
}

void ExerciseSheet::short_head() {
  flow_.keep(size(90));
  flow_.down(size(8));
  flow_.rule(1.2);
  flow_.down(size(17));
  flow_.text(flow_.left(), exercise_.title, {size(12.5), Face::bold, Ink::accent, TextRole::heading, MarkKind::text});
  const double x = flow_.left() + text_width(exercise_.title, size(12.5), Face::bold) + size(12);
  flow_.text(x, fmt::format("{}, about {} minutes", to_string(exercise_.family), exercise_.minutes),
             {size(8.5), Face::italic});
  flow_.paragraph(flow_.left(), PageFlow::block_width, sentence_with_signs(exercise_.goal), {size(11.5), Face::italic},
                  size(15));
  flow_.down(size(4));
}

void ExerciseSheet::chords() {
  if (!exercise_.melody.empty()) {
    melody();
    return;
  }
  flow_.down(size(14));
  std::vector<ChartBar> bars = chart_.bars;
  if (!bars.empty() && bars.front().section.empty()) bars.front().section = "Band";
  ChartRowSetter(flow_, chart_.placed, std::move(bars), {}).set();
}

void ExerciseSheet::chord_over(const ChartChord& chord, double x, double baseline, double room) {
  if (chord.open) {
    flow_.marks().push_back(
        {LineMark{x, baseline + size(2), x + std::min(room, size(34)), baseline + size(2), 0.7, Ink::text},
         MarkKind::rule, 0});
    return;
  }
  const auto& timed = chart_.placed.analysis.timeline.chords[chord.index];
  const Lettering name =
      timed.chord ? Lettering::chord(*timed.chord, size(12.5)) : Lettering::words("N.C.", size(12.5));
  name.put(flow_.marks(), x, baseline);
}

void ExerciseSheet::melody() {
  constexpr std::size_t in_line = 4;
  flow_.down(size(8));
  if (!exercise_.melody_name.empty()) {
    flow_.keep(size(100));
    flow_.down(size(12));
    flow_.text(flow_.left(), exercise_.melody_name,
               {size(11.5), Face::bold, Ink::accent, TextRole::heading, MarkKind::text});
  }
  for (std::size_t first = 0; first < chart_.bars.size(); first += in_line) {
    StaffSystem system = writing_staff(exercise_, chart_, first, in_line, size(5), true);
    std::size_t bar = first;
    for (StaffBar& each : system.bars) {
      std::size_t label = 0;
      for (const ChartChord& chord : chart_.bars[bar++].chords) {
        if (chord.held) continue;
        const auto& timed = chart_.placed.analysis.timeline.chords[chord.index];
        each.labels[label++].width =
            chord.open || !timed.chord ? size(40) : Lettering::chord(*timed.chord, size(12.5)).width() + size(6);
      }
    }
    // A whole line of bars fills the page; a shorter one ends where its notes do.
    const double natural = 1.7 * SystemEngraver::natural_width(system);
    const bool whole = system.bars.size() == in_line;
    const SystemEngraver engraver(system, whole ? PageFlow::block_width : std::min(PageFlow::block_width, natural));
    const double over = std::max(engraver.above(), size(8)) + size(20);
    flow_.keep(over + engraver.height() + engraver.below() + size(10));
    const double top = flow_.y() + over;
    engraver.put(flow_.marks(), flow_.left(), top);
    for (std::size_t i = 0; i < system.bars.size(); ++i) {
      std::size_t label = 0;
      for (const ChartChord& chord : chart_.bars[first + i].chords) {
        if (!chord.held)
          chord_over(chord, flow_.left() + engraver.label_x(i, label++),
                     top - std::max(engraver.above(), size(8)) - size(5), size(40));
      }
    }
    flow_.down(over + engraver.height() + std::max(engraver.below(), size(4)) + size(4));
  }
}

ExerciseSheet::Picture ExerciseSheet::picture_for(const std::string& step) const {
  if (!rhythm_shown_ && !exercise_.rhythm.empty() && mentions(step, {"rhythm", "clap"})) return Picture::rhythm;
  if (notes_shown_ || exercise_.notes.empty()) return Picture::none;
  std::string names;
  for (const PitchClass note : exercise_.notes) names += (names.empty() ? "" : ", ") + to_string(note);
  const bool named = step.find(names.substr(0, names.find(','))) != std::string::npos;
  return named || mentions(step, {"note", "keys"}) ? Picture::notes : Picture::none;
}

void ExerciseSheet::steps() {
  for (std::size_t i = 0; i < exercise_.steps.size(); ++i) {
    Picture picture = picture_for(exercise_.steps[i]);
    // What no step speaks of stands beside the last ones.
    const std::size_t left = exercise_.steps.size() - i;
    const std::size_t waiting =
        (rhythm_shown_ || exercise_.rhythm.empty() ? 0U : 1U) + (notes_shown_ || exercise_.notes.empty() ? 0U : 1U);
    if (picture == Picture::none && waiting >= left) {
      picture = rhythm_shown_ || exercise_.rhythm.empty() ? Picture::notes : Picture::rhythm;
    }
    step(i + 1, exercise_.steps[i], picture);
    rhythm_shown_ = rhythm_shown_ || picture == Picture::rhythm;
    notes_shown_ = notes_shown_ || picture == Picture::notes;
  }
}

KeyboardScale ExerciseSheet::keys() const {
  HandsChord hand;
  hand.right = exercise_.keyboard_notes();
  const std::array<const HandsChord*, 1> hands{&hand};
  KeyboardScale scale = KeyboardScale::around(hands, true);
  scale.low = std::min(scale.low, 60);  // middle C is always there
  scale.key = std::min((PageFlow::block_width - picture_x) / scale.white_keys(), size(16));
  scale.figure = size(9);
  return scale;
}

double ExerciseSheet::picture_height(Picture picture) const {
  if (picture == Picture::rhythm) return size(52);
  if (picture == Picture::notes) return keys().height() + keys().below();
  return 0;
}

void ExerciseSheet::put_picture(Picture picture, double x, double y, double width) {
  if (picture == Picture::rhythm) {
    put_rhythm(flow_.marks(), x, y, width, rhythm_picture(exercise_, size(5)), size(10));
  } else if (picture == Picture::notes) {
    HandsChord hand;
    hand.right = exercise_.keyboard_notes();
    const KeyboardScale scale = keys();
    add_keyboard(flow_.marks(), x, y, scale, hand);
    add_key_names(flow_.marks(), x, y, scale, hand.right);
  }
}

void ExerciseSheet::step(std::size_t number, const std::string& words, Picture picture) {
  const double room = (picture == Picture::none ? PageFlow::block_width : picture_x - 12) - size(text_x);
  const std::vector<std::string> lines = lines_within(as_printed(words), room, size(step_size), Face::roman);
  const double text_height = static_cast<double>(lines.size()) * size(step_leading);
  const double height = std::max(text_height, picture_height(picture)) + size(14);
  if (!flow_.keep(height + size(4)) && number > 1) {
    flow_.rule(0.5);
  }
  const double top = flow_.y() + size(8);
  const double radius = size(8.5);
  const int group = next_group(flow_.marks());
  flow_.marks().push_back(
      {RoundMark{flow_.left() + radius, top + radius, radius, radius, true, Ink::accent, 1}, MarkKind::text, group});
  flow_.marks().push_back(text_centred(flow_.left() + radius, top + radius + size(3.9), std::to_string(number),
                                       {size(11), Face::figures, Ink::paper, TextRole::note, MarkKind::text}));
  flow_.marks().back().group = group;
  double y = top + size(12.5);
  for (const std::string& line : lines) {
    flow_.marks().push_back(text_at(flow_.left() + size(text_x), y, line, {size(step_size), Face::roman}));
    y += size(step_leading);
  }
  put_picture(picture, flow_.left() + picture_x, top + size(2), PageFlow::block_width - picture_x);
  flow_.down(height);
}

void ExerciseSheet::safe_notes() {
  const auto& chords = chart_.placed.analysis.timeline.chords;
  if (exercise_.safe.empty() || exercise_.hidden.size() == chords.size()) return;
  heading("Chord by chord");
  const auto names = [](const std::vector<PitchClass>& from) {
    std::string text;
    for (const PitchClass note : from) text += (text.empty() ? "" : " ") + with_signs(to_string(note));
    return text;
  };
  const std::array<double, 4> columns{0, 70, 215, 365};
  flow_.down(size(13));
  for (const auto& [column, words] :
       {std::pair{1, "at home"}, std::pair{2, "in between"}, std::pair{3, "rubs, move on"}}) {
    flow_.text(flow_.left() + columns[static_cast<std::size_t>(column)], words, {size(8.5), Face::italic});
  }
  std::vector<Chord> known;
  for (std::size_t i = 0; i < exercise_.safe.size() && i < chords.size(); ++i) {
    if (!chords[i].chord || std::find(known.begin(), known.end(), *chords[i].chord) != known.end()) continue;
    if (std::binary_search(exercise_.hidden.begin(), exercise_.hidden.end(), i)) continue;
    known.push_back(*chords[i].chord);
    flow_.keep(size(15));
    flow_.down(size(14));
    Lettering::chord(*chords[i].chord, size(11)).put(flow_.marks(), flow_.left(), flow_.y());
    const ChordScale& scale = exercise_.safe[i];
    flow_.text(flow_.left() + columns[1], names(scale.tones), {size(10.5), Face::roman});
    flow_.text(flow_.left() + columns[2], names(scale.passing), {size(10.5), Face::roman});
    flow_.text(flow_.left() + columns[3], names(scale.tense), {size(10.5), Face::roman});
  }
}

void ExerciseSheet::hands() {
  std::vector<ChartShape> shapes;
  for (const ExerciseShape& shape : exercise_.shapes) {
    // "Bb/D, 1st inversion": the symbol is set as a chord, the rest beside it.
    const std::size_t comma = shape.name.find(", ");
    const bool symbol = shape.name.substr(0, comma) == to_string(shape.chord);
    ChartShape made{shape.chord, &shape.hands, {}, {}, {}};
    if (symbol) {
      made.caption = comma == std::string::npos ? "" : shape.name.substr(comma + 2);
    } else {
      made.name = sentence_with_signs(shape.name);
    }
    shapes.push_back(std::move(made));
  }
  put_hands(flow_, std::move(shapes), size(60));
}

void ExerciseSheet::answer() {
  if (!exercise_.answer) return;
  flow_.keep(size(60));
  flow_.down(size(8));
  flow_.paragraph(flow_.left(), PageFlow::block_width, sentence_with_signs(exercise_.answer->asks),
                  {size(12), Face::bold}, size(16));
  flow_.down(size(28));
  // A short line for each word; for chords one to write on as one likes.
  const bool words = exercise_.answer->rule == AnswerRule::words;
  const std::size_t places = words ? exercise_.answer->solution.size() : 1;
  const double width = PageFlow::block_width / static_cast<double>(std::max<std::size_t>(places, words ? 4 : 1));
  for (std::size_t i = 0; i < places; ++i) {
    const double x = flow_.left() + static_cast<double>(i) * width;
    const double indent = places > 1 ? size(14) : 0;
    if (places > 1) flow_.text(x, std::to_string(i + 1), {size(9), Face::italic});
    flow_.marks().push_back(
        {LineMark{x + indent, flow_.y(), x + width - size(6), flow_.y(), 0.7, Ink::text}, MarkKind::rule, 0});
  }
  flow_.down(size(6));
}

void ExerciseSheet::staves_to_write_on(std::size_t most) {
  constexpr std::size_t in_line = 4;
  const double line = size(68);
  const std::size_t lines = (chart_.bars.size() + in_line - 1) / in_line;
  const std::size_t wanted = chart_.bars.empty() ? 0 : lines > most ? most : most / lines * lines;  // whole rounds
  const double caption = size(30);
  if (wanted == 0 || flow_.room() < caption + line) return;
  flow_.down(size(10));
  flow_.rule(0.5);
  flow_.down(size(18));
  flow_.text(flow_.left(), "Write it down here",
             {size(11.5), Face::bold, Ink::accent, TextRole::heading, MarkKind::text});
  for (std::size_t i = 0; i < wanted && flow_.room() >= line; ++i) {
    const StaffSystem system = writing_staff(exercise_, chart_, i % lines * in_line, in_line, size(6), false);
    const double part = static_cast<double>(system.bars.size()) / in_line;
    const SystemEngraver engraver(system,
                                  part < 1 ? PageFlow::block_width * (0.1 + 0.9 * part) : PageFlow::block_width);
    const double top = flow_.y() + size(34);
    engraver.put(flow_.marks(), flow_.left(), top);
    for (std::size_t bar = 0; bar < system.bars.size(); ++bar) {
      std::size_t label = 0;
      for (ChartChord chord : chart_.bars[i % lines * in_line + bar].chords) {
        if (chord.held || (exercise_.writes_own_chords && label > 0)) continue;
        chord.open = chord.open || exercise_.writes_own_chords;
        chord_over(chord, flow_.left() + engraver.label_x(bar, label++), top - size(12), size(40));
      }
    }
    flow_.down(line);
  }
}

void ExerciseSheet::advice() {
  flow_.down(size(4));
  flow_.keep(size(24));
  flow_.rule(0.5);
  const auto line = [&](const std::string& name, const std::string& words) {
    if (words.empty()) return;
    const double size_here = size(10);
    const std::vector<std::string> lines =
        lines_within(sentence_with_signs(words), PageFlow::block_width - size(52), size_here, Face::roman);
    flow_.keep(static_cast<double>(lines.size()) * size(13) + size(3));
    flow_.down(size(3));
    bool first = true;
    for (const std::string& each : lines) {
      flow_.down(size(13));
      if (first) flow_.text(flow_.left(), name, {size_here, Face::bold, Ink::accent, TextRole::note, MarkKind::text});
      flow_.text(flow_.left() + size(52), each, {size_here, Face::roman});
      first = false;
    }
  };
  line("Easier", exercise_.easier);
  line("Harder", exercise_.harder);
  line("Listen", exercise_.listen);
  for (const ExplainedWord& word : exercise_.words)
    line(&word == &exercise_.words.front() ? "Words" : "", word.word + ": " + word.meaning);
  line("Care", exercise_.caution);
}

}  // namespace romanesca
