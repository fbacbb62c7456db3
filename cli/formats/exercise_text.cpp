#include "cli/formats/exercise_text.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

#include "cli/formats/chart_grid.h"
#include "cli/formats/keyboard_text.h"
#include "cli/formats/wrapped_text.h"

namespace romanesca {
namespace {

/// Steps in a beat of the meter's lower number that hold every note: two eighths, or four sixteenths, in a quarter.
std::int64_t steps_in_beat(std::span<const RhythmNote> rhythm, const Meter& meter) {
  const std::int64_t usual = meter.lower == 8 ? 1 : 2;
  const auto fits = [&](Beats time) {
    const Beats step = meter.beat_length() / usual;
    return step * whole_times(time, step) == time;
  };
  const bool all = std::all_of(rhythm.begin(), rhythm.end(),
                               [&](const RhythmNote& note) { return fits(note.start) && fits(note.length); });
  return all ? usual : 2 * usual;
}

constexpr int text_indent = 3;

std::string blanks(int count) { return std::string(static_cast<std::size_t>(count), ' '); }

std::string spaced_names(const std::vector<PitchClass>& notes) {
  std::string text;
  for (const PitchClass note : notes) text += (text.empty() ? "" : " ") + to_string(note);
  return text;
}

std::string spaced_names(const Voicing& voicing) {
  std::string text;
  for (const Pitch& note : voicing) text += (text.empty() ? "" : " ") + to_string(note);
  return text;
}

std::string indented(const std::string& lines) {
  std::string text;
  for (std::size_t at = 0; at < lines.size();) {
    const std::size_t end = std::min(lines.find('\n', at), lines.size());
    text += blanks(end > at ? text_indent : 0) + lines.substr(at, end - at) + "\n";
    at = end + 1;
  }
  return text;
}

std::string safe_notes_text(const Exercise& exercise, int width) {
  std::string text;
  std::vector<std::string> known;
  const Timeline timeline = exercise.timeline();
  for (std::size_t i = 0; i < exercise.safe.size(); ++i) {
    const ChordScale& scale = exercise.safe[i];
    const std::string chord = to_string(*timeline.chords[i].chord);
    if (std::find(known.begin(), known.end(), chord) != known.end()) continue;
    known.push_back(chord);
    std::string line = fmt::format("at home {}", spaced_names(scale.tones));
    if (!scale.passing.empty()) line += fmt::format("; in between {}", spaced_names(scale.passing));
    if (!scale.tense.empty()) line += fmt::format("; rubs {}", spaced_names(scale.tense));
    text += wrapped(blanks(text_indent) + fmt::format("{:<8} ", chord), line, width);
  }
  return text;
}

std::string melody_text(const Exercise& exercise, int width) {
  std::string line;
  const Beats bar = exercise.progression.meter().bar_length();
  for (const MelodyNote& note : exercise.melody) {
    line +=
        fmt::format("{}bar {} {}", line.empty() ? "" : ", ", whole_times(note.start, bar) + 1, to_string(note.pitch));
  }
  return wrapped(blanks(text_indent) + "Melody   ", line, width);
}

std::string shapes_text(const Exercise& exercise) {
  std::size_t widest = 0;
  for (const ExerciseShape& shape : exercise.shapes) widest = std::max(widest, shape.name.size());
  std::string text;
  for (const ExerciseShape& shape : exercise.shapes) {
    std::string line = fmt::format("{}{:<{}}  ", blanks(text_indent), shape.name, widest);
    const HandsChord& hands = shape.hands;
    if (!hands.left.empty()) line += fmt::format("left {:<12}  ", spaced_names(hands.left));
    if (!hands.right.empty()) {
      line += fmt::format("right {:<16}  fingers {}", spaced_names(hands.right), fmt::join(hands.right_fingers, " "));
    } else {
      line += fmt::format("fingers {}", fmt::join(hands.left_fingers, " "));
    }
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "\n";
  }
  return text;
}

/// Bars to write in, four in a row.
std::string empty_bars(int bars, int width) {
  const int in_row = width >= 60 ? 4 : 2;
  const int each = std::min(16, (width - text_indent - 1) / in_row - 1);
  std::string text;
  for (int bar = 0; bar < bars; ++bar) {
    if (bar % in_row == 0) text += (bar > 0 ? "|\n" : "") + blanks(text_indent);
    text += "|" + std::string(static_cast<std::size_t>(each), '_');
  }
  return text + "|\n";
}

/// What there is to see: chart, keyboard, rhythm, melody, hands.
std::string material_text(const Exercise& exercise, bool answers, int width) {
  std::string text;
  const bool all_hidden = exercise.hidden.size() == exercise.timeline().chords.size();
  if (answers || exercise.family != ExerciseFamily::ear) {
    text += indented(exercise_grid(exercise, answers, width - text_indent));
  }
  text += wrapped(blanks(text_indent), exercise_heading(exercise), width);
  if (!exercise.notes.empty()) text += "\n" + keyboard_text(exercise.keyboard_notes(), text_indent);
  if (!exercise.rhythm.empty()) {
    const Meter meter = exercise.progression.meter();
    text += "\n" + rhythm_text(exercise.rhythm, meter, text_indent);
    text += wrapped(blanks(text_indent) + "notes  ", rhythm_names(exercise.rhythm, meter), width);
  }
  if (!exercise.melody_name.empty()) {
    const ExerciseTune own{exercise.melody_name, exercise.melody};
    text += "\n" + tune_text(own, exercise.progression.meter(), text_indent, width);
  } else if (!exercise.melody.empty()) {
    text += "\n" + melody_text(exercise, width);
  }
  if (!exercise.safe.empty() && !all_hidden) text += "\n" + safe_notes_text(exercise, width);
  if (!exercise.shapes.empty()) text += "\n" + shapes_text(exercise);
  if (!exercise.models_are_answers || answers) {
    for (const ExerciseTune& tune : exercise.models) {
      text += "\n" + tune_text(tune, exercise.progression.meter(), text_indent, width);
    }
  }
  if (exercise.writing_bars > 0) text += "\n" + empty_bars(exercise.writing_bars, width);
  return text;
}

}  // namespace

std::vector<CountedStep> counted(std::span<const RhythmNote> rhythm, const Meter& meter) {
  const std::int64_t in_beat = steps_in_beat(rhythm, meter);
  constexpr std::array<const char*, 4> between{"", "e", "&", "a"};
  std::vector<CountedStep> steps;
  for (std::int64_t i = 0; i < in_beat * meter.upper; ++i) {
    const std::int64_t part = i % in_beat;
    const bool on_beat = part == 0;
    steps.push_back(
        {on_beat ? std::to_string(i / in_beat + 1) : between[static_cast<std::size_t>(part * 4 / in_beat)]});
    const Beats at = meter.beat_length() * i / in_beat;
    for (const RhythmNote& note : rhythm) {
      if (note.start == at) steps.back().sign = 'x';
      if (note.start < at && at < note.start + note.length) steps.back().sign = '-';
    }
  }
  return steps;
}

std::string rhythm_text(std::span<const RhythmNote> rhythm, const Meter& meter, int indent) {
  const std::string before(static_cast<std::size_t>(indent), ' ');
  std::string count = before + "count ";
  std::string play = before + "play  ";
  for (const CountedStep& step : counted(rhythm, meter)) {
    count += " " + step.count + std::string(3 - std::min<std::size_t>(3, step.count.size() + 1), ' ');
    play += std::string(" ") + step.sign + " ";
  }
  for (std::string* line : {&count, &play}) line->erase(line->find_last_not_of(' ') + 1);
  return count + "\n" + play + "\n";
}

std::string exercise_grid(const Exercise& exercise, bool whole, int width) {
  const Progression progression = whole ? exercise.progression : exercise.shown();
  std::string text =
      chart_grid(progression, analyse(progression, KeyText{exercise.key.tonic, exercise.key.mode}), width);
  // Nothing else in an exercise is silent: what is hidden becomes a line to write on.
  constexpr std::string_view silent = "N.C.";
  for (std::size_t at = text.find(silent); at != std::string::npos; at = text.find(silent, at)) {
    text.replace(at, silent.size(), "____");
  }
  return text;
}

std::string exercise_heading(const Exercise& exercise) {
  Progression heard = exercise.progression;
  if (exercise.family == ExerciseFamily::ear) heard.style.clear();  // the piano plays it alone
  const std::string line = heading_line(heard, exercise.key);
  return exercise.song_key ? line + "; the song itself is in " + to_string(*exercise.song_key) : line;
}

std::string solution_text(const ExerciseAnswer& answer) {
  std::string text;
  for (std::size_t i = 0; i < answer.solution.size(); ++i) {
    if (answer.solution.size() > 1) text += fmt::format("{}{} ", i > 0 ? ", " : "", i + 1);
    text += fmt::format("{}", fmt::join(answer.solution[i], " or "));
  }
  return text;
}

std::string exercise_text(const Exercise& exercise, const ExerciseView& view) {
  const int width = view.width;
  const bool answers = view.answers;
  std::string text = wrapped(view.name.empty() ? blanks(text_indent) : fmt::format("{:<{}}", view.name, text_indent),
                             exercise.title, width);
  text += wrapped(blanks(text_indent),
                  fmt::format("{}: {}, level {}, {} minutes", to_string(exercise.family), exercise.id, exercise.level,
                              exercise.minutes),
                  width);
  text += "\n" + wrapped(blanks(text_indent), exercise.goal, width) + "\n";
  text += material_text(exercise, answers, width) + "\n";
  for (std::size_t i = 0; i < exercise.steps.size(); ++i) {
    text += wrapped(fmt::format("{}{}. ", blanks(text_indent), i + 1), exercise.steps[i], width);
  }
  text += "\n" + wrapped(blanks(text_indent) + "Easier   ", exercise.easier, width);
  text += wrapped(blanks(text_indent) + "Harder   ", exercise.harder, width);
  text += wrapped(blanks(text_indent) + "Listen   ", exercise.listen, width);
  for (const ExplainedWord& word : exercise.words) {
    const bool first = &word == &exercise.words.front();
    text += wrapped(blanks(text_indent) + (first ? "Words    " : "         "), word.word + ": " + word.meaning, width);
  }
  if (!exercise.caution.empty()) text += wrapped(blanks(text_indent) + "Care     ", exercise.caution, width);
  if (exercise.answer) {
    text += wrapped(blanks(text_indent) + "Answer   ",
                    answers ? solution_text(*exercise.answer) : exercise.answer->asks, width);
  }
  if (!view.sound.empty()) text += wrapped(blanks(text_indent) + "Sound    ", view.sound, width);
  return text;
}

std::string check_text(const ExerciseCheck& check, int width) {
  std::string text;
  for (const std::string& sentence : check.holds) text += wrapped("  + ", sentence, width);
  for (const std::string& sentence : check.not_yet) text += wrapped("  - ", sentence, width);
  for (const std::string& sentence : check.to_hear) text += wrapped("    ", sentence, width);
  return text + wrapped("", check.encouragement, width);
}

std::string kinds_text(std::span<const ExerciseKind* const> kinds, int width) {
  std::string text;
  std::optional<ExerciseFamily> family;
  for (const ExerciseKind* kind : kinds) {
    if (kind->family != family) {
      text += fmt::format("{}{}\n", text.empty() ? "" : "\n", to_string(kind->family));
      family = kind->family;
    }
    text += fmt::format("  {:<29} levels {} to {}  {:>2} min  {}\n", kind->id, kind->lowest, kind->highest,
                        kind->minutes, kind->character);
  }
  return text + "\n" + wrapped("", "romanesca exercise --id NAME --key KEY --level N sets one of them.", width);
}

}  // namespace romanesca
