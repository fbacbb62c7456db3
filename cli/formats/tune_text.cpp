// Rhythms and tunes in words, for a terminal.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <optional>

#include "cli/formats/exercise_text.h"
#include "cli/formats/wrapped_text.h"
#include "cli/formats/written_rhythm.h"
#include "progressions/exercises/level_step.h"

namespace romanesca {
namespace {

/// A note or a rest of a bar: what sounds and for how long.
struct BarEvent {
  std::optional<std::size_t> note;  ///< its place among the notes; nothing for a rest
  Beats start, length;              ///< from the beginning of the bar
  bool tied_on = false;             ///< it goes on in the next bar
};

/// The notes cut at the bar lines, with the rests between them.
std::vector<std::vector<BarEvent>> bars_of(std::span<const RhythmNote> notes, const Meter& meter) {
  const Beats bar = meter.bar_length();
  std::vector<std::vector<BarEvent>> bars;
  Beats now;
  const auto add = [&](std::optional<std::size_t> note, Beats until) {
    while (now < until) {
      const std::int64_t number = whole_times(now, bar);
      const Beats end = std::min(until, bar * (number + 1));
      if (bars.size() <= static_cast<std::size_t>(number)) bars.resize(static_cast<std::size_t>(number) + 1);
      bars[static_cast<std::size_t>(number)].push_back({note, now - bar * number, end - now, note && end < until});
      now = end;
    }
  };
  for (std::size_t i = 0; i < notes.size(); ++i) {
    add(std::nullopt, notes[i].start);
    add(i, notes[i].start + notes[i].length);
  }
  if (!bars.empty()) add(std::nullopt, bar * static_cast<std::int64_t>(bars.size()));
  return bars;
}

std::string value_name(NoteValue value) { return (value.dotted ? "dotted " : "") + std::string(type_name(value)); }

/// "quarter", "half tied to eighth". A length of one value is called by it, wherever in the bar it begins.
std::vector<std::string> names_of_bar(const std::vector<BarEvent>& events, const Meter& meter) {
  std::vector<Beats> lengths;
  lengths.reserve(events.size());
  for (const BarEvent& event : events) lengths.push_back(event.length);
  std::vector<std::string> names(events.size());
  for (const WrittenNote& written : written_bar(lengths, meter)) {
    std::string& name = names[written.event];
    name += (name.empty() ? "" : " tied to ") + value_name(written.value);
  }
  for (std::size_t i = 0; i < events.size(); ++i) {
    for (const bool dotted : {false, true}) {
      for (int power = 2; power >= -3; --power) {
        const NoteValue value{power, dotted};
        if (value.length() == events[i].length) names[i] = value_name(value);
        if (value.length() * 2 / 3 == events[i].length && !value.dotted) names[i] = "triplet " + value_name(value);
      }
    }
    if (!events[i].note) names[i] += " rest";
    if (events[i].tied_on) names[i] += " tied over";
  }
  return names;
}

}  // namespace

std::string rhythm_names(std::span<const RhythmNote> rhythm, const Meter& meter) {
  std::string text;
  for (const auto& bar : bars_of(rhythm, meter)) {
    text += fmt::format("{}{}", text.empty() ? "" : " | ", fmt::join(names_of_bar(bar, meter), ", "));
  }
  return text;
}

std::string tune_text(const ExerciseTune& tune, const Meter& meter, int indent, int width) {
  const Beats bar = meter.bar_length();
  std::vector<RhythmNote> rhythm;
  Beats begins;
  if (!tune.notes.empty()) begins = bar * whole_times(tune.notes.front().start, bar);
  for (const MelodyNote& note : tune.notes) rhythm.push_back({note.start - begins, note.length});
  const std::string before(static_cast<std::size_t>(indent), ' ');
  std::string text = before + tune.label + "\n";
  std::int64_t number = whole_times(begins, bar);
  for (const auto& events : bars_of(rhythm, meter)) {
    const auto values = names_of_bar(events, meter);
    std::string line;
    for (std::size_t i = 0; i < events.size(); ++i) {
      const bool sounds = events[i].note && !tune.rhythm_only;
      line += fmt::format("{}{}{}", i == 0 ? "" : ", ",
                          sounds ? to_string(tune.notes[*events[i].note].pitch) + " " : "", values[i]);
    }
    text += wrapped(fmt::format("{}  bar {}  ", before, ++number), line, width);
  }
  return text;
}

std::string level_steps_text(int width) {
  std::string text;
  for (const LevelStep& step : level_steps()) {
    const LevelStep* before = step.number > 1 ? &level_step(step.number - 1) : nullptr;
    text += fmt::format("{}Level {}\n", text.empty() ? "" : "\n", step.number);
    for (const auto& [name, words] : {std::pair<std::string_view, const std::string&>{"harmony", step.harmony},
                                      {"hands", step.hands},
                                      {"rhythm", step.rhythm},
                                      {"form", step.form},
                                      {"ear", step.ear}}) {
      text += wrapped(fmt::format("  {:<8} ", name), words, width);
    }
    std::string heard;
    const auto add = [&](const char* what, const std::vector<std::string>& all, std::size_t known) {
      const std::vector<std::string> fresh(all.begin() + static_cast<std::ptrdiff_t>(known), all.end());
      if (!fresh.empty()) heard += fmt::format("{}{} {}", heard.empty() ? "" : "; ", what, fmt::join(fresh, " "));
    };
    const auto names = [](const auto& values, const auto& name) {
      std::vector<std::string> result;
      for (const auto& value : values) result.push_back(name(value));
      return result;
    };
    add("intervals", names(step.intervals, [](Interval each) { return to_string(each); }),
        before != nullptr ? before->intervals.size() : 0);
    add("degrees", step.degrees, before != nullptr ? before->degrees.size() : 0);
    add("chords",
        names(step.chords, [](ChordType type) { return "C" + to_string(Chord::on(PitchClass(), type)).substr(1); }),
        before != nullptr ? before->chords.size() : 0);
    add("cadences:",
        names(step.cadences,
              [](CadenceKind kind) {
                const std::string term(cadence_term(kind));
                return term.substr(term.find(' ') + 1, term.rfind(' ') - term.find(' ') - 1);
              }),
        before != nullptr ? before->cadences.size() : 0);
    if (!heard.empty()) text += wrapped("           ", "new by ear: " + heard, width);
    text += wrapped("           ",
                    fmt::format("{} questions, {} rounds, {} {} to echo or write, {} chords in a loop", step.questions,
                                step.rounds, step.bars, step.bars == 1 ? "bar" : "bars", step.loop),
                    width);
  }
  return text;
}

}  // namespace romanesca
