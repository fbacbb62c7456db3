#include "cli/formats/paper/exercise_music.h"

#include <algorithm>
#include <cmath>

#include "cli/formats/engraving/engraving_rules.h"
#include "cli/formats/exercise_text.h"
#include "cli/formats/paper/lead_sheet_bars.h"
#include "cli/formats/paper/text_layout.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// The words of a line between blanks.
std::vector<std::string> words_of(const std::string& line) {
  std::vector<std::string> words;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t end = std::min(line.find(' ', at), line.size());
    if (end > at) words.push_back(line.substr(at, end - at));
    at = end + 1;
  }
  return words;
}

}  // namespace

ExerciseChart exercise_chart(const Exercise& exercise) {
  ExerciseChart chart;
  chart.placed.name = exercise.title;
  chart.placed.progression = exercise.progression;
  chart.placed.key = exercise.key;
  chart.placed.analysis = analyse(exercise.progression, KeyText{exercise.key.tonic, exercise.key.mode});
  for (Key& key : chart.placed.analysis.keys.by_bar) key = exercise.key;
  PaperSettings paper;
  paper.open_chords = exercise.hidden;
  chart.bars = chart_bars(chart.placed, {}, paper);
  const std::vector<std::string> numerals = words_of(exercise.numerals);
  for (ChartBar& bar : chart.bars) {
    for (ChartChord& chord : bar.chords) {
      chord.key.clear();
      if (!chord.held) chord.numeral = chord.index < numerals.size() ? numerals[chord.index] : "";
    }
  }
  return chart;
}

std::vector<StaffEvent> written_notes(std::span<const RhythmNote> notes, std::span<const Pitch> pitches,
                                      const Meter& meter) {
  std::vector<Beats> lengths;
  std::vector<int> sources;  // the note of each length, -1 for a rest
  Beats at;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    if (notes[i].start < at) continue;
    if (notes[i].start > at) {
      lengths.push_back(notes[i].start - at);
      sources.push_back(-1);
    }
    const Beats room = (i + 1 < notes.size() ? notes[i + 1].start : meter.bar_length()) - notes[i].start;
    lengths.push_back(std::min(notes[i].length, room));
    sources.push_back(static_cast<int>(i));
    at = notes[i].start + lengths.back();
  }
  if (at < meter.bar_length()) {
    lengths.push_back(meter.bar_length() - at);
    sources.push_back(-1);
  }
  const std::vector<WrittenNote> rhythm = written_bar(lengths, meter);
  std::vector<StaffEvent> events;
  Beats start;
  for (std::size_t i = 0; i < rhythm.size(); ++i) {
    StaffEvent event;
    event.start = start;
    event.value = rhythm[i].value;
    event.tuplet = rhythm[i].tuplet;
    const int source = sources[rhythm[i].event];
    if (source >= 0) {
      const bool tied = i + 1 < rhythm.size() && rhythm[i + 1].event == rhythm[i].event;
      const Pitch pitch = pitches.empty() ? Pitch(PitchClass::of(6, 0), 4) : pitches[static_cast<std::size_t>(source)];
      event.notes.push_back({pitch, 0, tied, false});
    }
    start += rhythm[i].length;
    events.push_back(std::move(event));
  }
  return events;
}

RhythmPicture rhythm_picture(const Exercise& exercise, double space) {
  RhythmPicture picture;
  const Meter meter = exercise.progression.meter();
  picture.system.clefs = {Clef::rhythm};
  picture.system.shows_key = false;
  picture.system.shows_meter = meter;
  picture.system.space = space;
  StaffBar bar;
  bar.meter = meter;
  bar.staves.push_back(written_notes(exercise.rhythm, {}, meter));
  const std::vector<CountedStep> steps = counted(exercise.rhythm, meter);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const bool beat = is_digit(steps[i].count.front());
    const bool struck = steps[i].sign == 'x';
    if (!beat && !struck) continue;
    // A beat on which nothing begins is counted in brackets.
    const std::string count = struck ? steps[i].count : "(" + steps[i].count + ")";
    const Beats at = meter.bar_length() * static_cast<std::int64_t>(i) / static_cast<std::int64_t>(steps.size());
    bar.labels.push_back({at, text_width(count, 2.1 * space, Face::roman) + space});
    picture.counts.push_back(count);
  }
  bar.right = BarLine::twofold;
  picture.system.bars.push_back(std::move(bar));
  return picture;
}

double put_rhythm(std::vector<Mark>& marks, double x, double y, double width, const RhythmPicture& picture,
                  double count_size) {
  const double space = picture.system.space;
  const double natural = SystemEngraver::natural_width(picture.system);
  const SystemEngraver engraver(picture.system,
                                std::min(width, std::max(natural * 1.6, SystemEngraver::least_width(picture.system))));
  const double top = y + std::max(engraver.above(), space);
  engraver.put(marks, x, top);
  const double baseline = top + engraver.height() + std::max(engraver.below(), 0.0) + count_size * 0.8;
  const double head = shape_of(Glyph::black_head).width() * space;
  for (std::size_t i = 0; i < picture.counts.size(); ++i) {
    marks.push_back(text_centred(x + engraver.label_x(0, i) + head / 2, baseline, picture.counts[i],
                                 {count_size, Face::roman, Ink::text, TextRole::note, MarkKind::words}));
  }
  return baseline + 0.3 * count_size - y;
}

StaffSystem writing_staff(const Exercise& exercise, const ExerciseChart& chart, std::size_t first, std::size_t count,
                          double space, bool melody) {
  StaffSystem system;
  system.clefs = {Clef::treble};
  system.key = exercise.key;
  system.space = space;
  system.even_bars = !melody;
  const Meter meter = exercise.progression.meter();
  if (first == 0) system.shows_meter = meter;
  const Timeline& timeline = chart.placed.analysis.timeline;
  const MeterMap meters(meter);
  Tune tune;
  for (const MelodyNote& note : exercise.melody) tune.notes.push_back({note.start, note.length, note.pitch});
  for (std::size_t i = first; i < std::min(first + count, chart.bars.size()); ++i) {
    StaffBar bar;
    bar.meter = meter;
    const Beats begin = meter.bar_length() * static_cast<std::int64_t>(i);
    if (melody) bar.staves.push_back(tune_bar(tune, meters, static_cast<int>(i) + 1, i == first).events);
    for (const ChartChord& chord : chart.bars[i].chords) {
      if (!chord.held) bar.labels.push_back({timeline.chords[chord.index].start - begin, 0});
    }
    bar.right = i + 1 == chart.bars.size() ? BarLine::final : BarLine::single;
    system.bars.push_back(std::move(bar));
  }
  return system;
}

}  // namespace romanesca
