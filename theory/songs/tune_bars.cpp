#include "theory/songs/tune_bars.h"

#include <fmt/format.h>

#include <algorithm>

#include "theory/tunes/verses.h"

namespace romanesca {
namespace {

/// The part of a measure from one time to another, as a measure of its own. Notes that are cut are tied.
Measure part_of(const Measure& measure, Beats from, Beats to) {
  Measure part = measure;
  part.notes.clear();
  part.chords.clear();
  part.length = to - from;
  for (const BarNote& note : measure.notes) {
    const Beats start = std::max(note.start, from);
    const Beats note_end = note.start + note.length;
    const Beats end = std::min(note_end, to);
    if (start >= end) continue;
    BarNote piece = note;
    piece.start = start - from;
    piece.length = end - start;
    piece.tied = note.tied || note_end > to;
    if (start > note.start) clear_syllables(piece);
    part.notes.push_back(std::move(piece));
  }
  for (const MeasureChord& chord : measure.chords) {
    if (chord.start >= from && chord.start < to) part.chords.push_back({chord.start - from, chord.slot});
  }
  if (from > Beats(0)) {
    part.opens = part.after_double = part.begins_row = false;
    part.ending = part.ending_to = 0;
    part.section.clear();
  }
  if (to < measure.length) part.closes = false;
  return part;
}

/// A repeat without a sign at its beginning goes back to the double bar or repeat sign before it.
void open_repeats(std::vector<Measure>& measures) {
  std::size_t start = 0;
  bool open = false;
  for (std::size_t i = 0; i < measures.size(); ++i) {
    const Measure& measure = measures[i];
    const bool boundary = i > 0 && measure.ending == 0 && (measure.after_double || measures[i - 1].closes);
    if (measure.opens || (!open && boundary)) start = i;
    open = open || measure.opens;
    if (!measure.closes) continue;
    if (!open && start > 0) measures[start].opens = true;
    open = false;
  }
}

/// A tie that leads to another pitch, to a rest or to nothing is none.
void drop_loose_ties(std::vector<WrittenSection>& sections) {
  BarNote* last = nullptr;
  Beats last_end;  // of the last note, from the beginning of the present bar
  const auto pass = [&](BarNotes& notes) {
    for (BarNote& note : notes) {
      if (last != nullptr && last->tied) last->tied = last->pitch == note.pitch && last_end == note.start;
      last = &note;
      last_end = note.start + note.length;
    }
  };
  for (WrittenSection& section : sections) {
    for (WrittenRow& row : section.rows) {
      pass(row.upbeat);
      for (WrittenBar& bar : row.bars) {
        pass(bar.tune);
        last_end -= row.counts.meter.value_or(Meter{}).bar_length();
      }
    }
  }
  if (last != nullptr) last->tied = false;
}

/// A syllable is held only over notes that have none of their own.
void drop_loose_extensions(std::vector<Measure>& measures) {
  for (std::size_t verse = 0; verse < most_verses; ++verse) {
    BarNote* held = nullptr;  // has the last syllable, as long as no other note came after it
    const auto end_word = [&] { set_syllable(*held, verse, {syllable_of(*held, verse).text}); };
    // cppcheck-suppress constVariable; its notes are written to later
    for (Measure& measure : measures) {
      for (BarNote& note : measure.notes) {
        const Syllable here = syllable_of(note, verse);
        if (held != nullptr && !here.text.empty()) end_word();
        held = here.end == SyllableEnd::held ? &note : nullptr;
      }
    }
    if (held != nullptr) end_word();
  }
}

/// Notes that are tied inside a bar are one.
void merge_ties(BarNotes& notes) {
  BarNotes merged;
  for (BarNote& note : notes) {
    const bool same = !merged.empty() && merged.back().tied && merged.back().pitch == note.pitch &&
                      merged.back().start + merged.back().length == note.start;
    if (!same) {
      merged.push_back(std::move(note));
      continue;
    }
    merged.back().length += note.length;
    merged.back().tied = note.tied;
  }
  notes = std::move(merged);
}

class BarJoiner {
 public:
  explicit BarJoiner(std::vector<std::string>& remarks) : remarks_(remarks) {}

  std::vector<WrittenSection> join(std::vector<Measure> measures) {
    for (std::size_t i = 0; i < measures.size(); ++i) {
      Measure& measure = measures[i];
      const Beats bar = measure.meter.bar_length();
      const bool last = i + 1 == measures.size();
      if (measure.length < bar && !last && may_join(measure, measures[i + 1])) {
        join_into(measure, measures[i + 1]);
      } else if (measure.length < bar && !last && begins_part(measure, i) && !measure.closes) {
        take_upbeat(measure, measures[i + 1]);
      } else {
        add_whole(measure);
      }
    }
    return std::move(sections_);
  }

 private:
  [[nodiscard]] bool begins_part(const Measure& measure, std::size_t index) const {
    if (measure.ending > 0) return false;
    return index == 0 || measure.opens || measure.after_double || closed_before_ || !measure.section.empty();
  }

  /// Two halves of a bar that only a line end or a thin bar line parts.
  [[nodiscard]] static bool may_join(const Measure& measure, const Measure& next) {
    const bool parted = measure.closes || next.opens || next.after_double || next.ending > 0 || !next.section.empty();
    return !parted && measure.meter == next.meter && measure.length + next.length == measure.meter.bar_length();
  }

  /// The next measure becomes the whole bar.
  static void join_into(Measure& first, Measure& next) {
    for (BarNote& note : next.notes) note.start += first.length;
    for (MeasureChord& chord : next.chords) chord.start += first.length;
    next.notes.insert(next.notes.begin(), first.notes.begin(), first.notes.end());
    next.chords.insert(next.chords.begin(), first.chords.begin(), first.chords.end());
    next.length += first.length;
    hand_on(first, next);
  }

  /// The signs before a measure that is no bar of its own belong to the next one.
  static void hand_on(const Measure& first, Measure& next) {
    next.opens = next.opens || first.opens;
    next.after_double = next.after_double || first.after_double;
    next.begins_row = next.begins_row || first.begins_row;
    if (next.ending == 0) {
      next.ending = first.ending;
      next.ending_to = first.ending_to;
    }
    if (next.section.empty()) next.section = first.section;
  }

  void take_upbeat(Measure& measure, Measure& next) {
    upbeat_ = std::move(measure.notes);
    merge_ties(upbeat_);
    for (BarNote& note : upbeat_) note.start -= measure.length;
    hand_on(measure, next);
    next.begins_row = true;
    closed_before_ = false;
  }

  void add_whole(const Measure& measure) {
    const Beats bar = measure.meter.bar_length();
    for (Beats from; from < measure.length || from == Beats(0); from += bar) {
      add_bar(part_of(measure, from, std::min(measure.length, from + bar)));
    }
    if (measure.length > bar) remark("a bar that is too long made several bars");
    closed_before_ = measure.closes;
  }

  void add_bar(Measure measure) {
    if (sections_.empty() || !measure.section.empty()) {
      sections_.emplace_back();
      sections_.back().name = measure.section;
      sections_.back().line = std::max(1, measure.line);
    }
    std::vector<WrittenRow>& rows = sections_.back().rows;
    constexpr std::size_t most_bars_in_row = 8;
    const bool changed = !rows.empty() && rows.back().counts != measure.counts;
    if (rows.empty() || measure.begins_row || changed || rows.back().bars.size() >= most_bars_in_row) {
      rows.emplace_back();
      rows.back().counts = measure.counts;
      rows.back().upbeat = std::move(upbeat_);
      upbeat_.clear();
    }
    WrittenBar bar;
    bar.slots = slots_of(measure.chords, measure.meter, before_);
    bar.tune = std::move(measure.notes);
    merge_ties(bar.tune);
    bar.opens = measure.opens;
    bar.closes = measure.closes ? 2 : 0;
    if (measure.ending > 0) bar.ending = std::clamp(measure.ending_to - measure.ending + 1, 1, 9);
    rows.back().bars.push_back(std::move(bar));
  }

  void remark(std::string text) {
    if (std::find(remarks_.begin(), remarks_.end(), text) == remarks_.end()) remarks_.push_back(std::move(text));
  }

  std::vector<std::string>& remarks_;
  std::vector<WrittenSection> sections_;
  BarNotes upbeat_;
  bool closed_before_ = false;
  Slot before_{NoChord{}, {}};
};

}  // namespace

std::vector<WrittenSection> sections_of(std::vector<Measure> measures, std::vector<std::string>& remarks) {
  drop_loose_extensions(measures);
  open_repeats(measures);
  std::vector<WrittenSection> sections = BarJoiner(remarks).join(std::move(measures));
  drop_loose_ties(sections);
  return sections;
}

bool play_into(const std::vector<WrittenSection>& sections, SongReading& reading) {
  Progression& song = reading.progression;
  SongChange first{song.written_meter, song.key, song.tempo_bpm};
  if (!sections.empty()) first = sections.front().rows.front().counts;
  song.written_meter = first.meter;
  song.key = first.key;
  song.tempo_bpm = first.tempo_bpm;
  PlayedForm form = played_out(sections, first);
  if (form.too_long_at > 0) return false;
  for (PlayedSection& each : form.sections) {
    const WrittenSection& written = sections[each.written];
    SectionReading section{written.name, 0, {}, each.times};
    for (const Row& row : each.rows) section.bars += static_cast<int>(row.bars.size());
    reading.sections.push_back(std::move(section));
    song.sections.push_back({written.name, std::move(each.rows), std::nullopt});
  }
  if (!form.printed.is_plain()) song.form = std::move(form.printed);
  return true;
}

std::vector<Slot> slots_of(const std::vector<MeasureChord>& chords, Meter meter, Slot& before) {
  if (chords.empty()) return {before};
  const auto count = static_cast<std::int64_t>(chords.size());
  bool even = count <= 24;
  for (std::int64_t i = 0; even && i < count; ++i) {
    even = chords[static_cast<std::size_t>(i)].start == meter.bar_length() * i / count;
  }
  std::vector<Slot> slots;
  if (even) {
    for (const MeasureChord& chord : chords) slots.push_back(chord.slot);
  } else {
    slots.assign(static_cast<std::size_t>(meter.upper), {Hold{}, chords.front().slot.place});
    slots.front() = before;
    for (const MeasureChord& chord : chords) {
      const auto beat =
          static_cast<std::size_t>(std::max<std::int64_t>(0, whole_times(chord.start, meter.beat_length())));
      slots[std::min(beat, slots.size() - 1)] = chord.slot;
    }
  }
  before = chords.back().slot;
  return slots;
}

}  // namespace romanesca
