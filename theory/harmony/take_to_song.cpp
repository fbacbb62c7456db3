#include "theory/harmony/take_to_song.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "theory/analysis/key_finding.h"
#include "theory/chords/chord_naming.h"
#include "theory/harmony/tune_key.h"
#include "theory/songs/chord_names.h"
#include "theory/songs/tune_bars.h"

namespace romanesca {
namespace {

constexpr std::size_t bars_in_row = 4;

std::optional<Chord> chord_of(const TakeChord& chord) {
  const auto symbol = read_typed_chord(chord.symbol, {});
  const Chord* const read = symbol ? std::get_if<Chord>(&*symbol) : nullptr;
  return read != nullptr ? std::optional<Chord>(*read) : std::nullopt;
}

/// Notes cut at the bar lines, from the bar line at or before the first note on.
class TakeBars {
 public:
  TakeBars(const TakeFacts& facts, Beats first) : facts_(facts), bar_(facts.meter.bar_length()) {
    from_ = bar_ * whole_times(first, bar_);
    has_upbeat_ = (first - from_) * 2 >= bar_;
  }

  /// Of the take, before the first whole bar.
  [[nodiscard]] int bars_before() const { return static_cast<int>(whole_times(from_, bar_)) + (has_upbeat_ ? 1 : 0); }

  std::vector<Measure> cut(const std::vector<QuantisedNote>& notes, const std::vector<Pitch>& pitches) {
    for (std::size_t i = 0; i < notes.size(); ++i) add(notes[i], pitches[i]);
    for (Measure& measure : measures_) {
      measure.meter = facts_.meter;
      measure.length = bar_;
    }
    if (has_upbeat_ && measures_.size() > 1) shorten_upbeat();
    add_chords();
    for (std::size_t i = has_upbeat_ ? 1 : 0, k = 0; i < measures_.size(); ++i, ++k) {
      measures_[i].begins_row = k % bars_in_row == 0;
    }
    return std::move(measures_);
  }

 private:
  void add(const QuantisedNote& note, Pitch pitch) {
    Beats at = note.start - from_;
    const Beats end = at + note.length;
    while (at < end) {
      const auto bar = static_cast<std::size_t>(whole_times(at, bar_));
      if (measures_.size() <= bar) measures_.resize(bar + 1);
      const Beats begins = bar_ * static_cast<std::int64_t>(bar);
      const Beats until = std::min(end, begins + bar_);
      measures_[bar].notes.push_back({at - begins, until - at, pitch, until < end});
      at = until;
    }
  }

  void shorten_upbeat() {
    Measure& upbeat = measures_.front();
    const Beats silent = upbeat.notes.front().start;
    for (BarNote& note : upbeat.notes) note.start -= silent;
    upbeat.length -= silent;
  }

  void add_chords() {
    for (const TakeChord& chord : facts_.chords) {
      const auto read = chord_of(chord);
      if (!read) continue;
      const Beats at = std::max(Beats(0), chord.start - from_);
      const auto bar = static_cast<std::size_t>(whole_times(at, bar_));
      if (bar >= measures_.size() || (bar == 0 && has_upbeat_)) continue;
      const Beats inside = at - bar_ * static_cast<std::int64_t>(bar);
      std::vector<MeasureChord>& chords = measures_[bar].chords;
      if (!chords.empty() && chords.back().start == inside) chords.pop_back();
      chords.push_back({inside, {*read, {}}});
    }
  }

  const TakeFacts& facts_;
  Beats bar_, from_;
  bool has_upbeat_ = false;
  std::vector<Measure> measures_;
};

/// Each chord as a bar, to find their key.
Progression chords_alone(const TakeFacts& facts) {
  Progression song;
  song.sections.emplace_back().rows.emplace_back();
  for (const TakeChord& chord : facts.chords) {
    if (const auto read = chord_of(chord)) song.sections[0].rows[0].bars.push_back({{{*read, {}}}});
  }
  return song;
}

bool has_chords(const Progression& chords) { return !chords.sections[0].rows[0].bars.empty(); }

Key key_of_notes(std::span<const TakeNote> notes, const std::vector<QuantisedNote>& places, Meter meter) {
  Tune tune;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const Pitch pitch = lowest_at_or_above(spelled_in(notes[i].midi % 12, Key{}), notes[i].midi);
    tune.notes.push_back({places[i].start, places[i].length, pitch});
  }
  return find_tune_key(tune, MeterMap(meter)).front().key;
}

}  // namespace

std::vector<TakeNote> top_line(std::vector<TakeNote> notes) {
  constexpr double together = 0.06;  // quarters
  std::stable_sort(notes.begin(), notes.end(), [](const TakeNote& a, const TakeNote& b) { return a.start < b.start; });
  std::vector<TakeNote> line;
  for (const TakeNote& note : notes) {
    if (!line.empty()) {
      TakeNote& before = line.back();
      if (note.start - before.start < together) {
        if (note.midi > before.midi) before = note;
        continue;
      }
      if (note.midi < before.midi && before.end >= note.end) continue;
    }
    line.push_back(note);
  }
  return line;
}

std::vector<Pitch> spelled_line(std::span<const TakeNote> notes, const Key& key) {
  std::vector<Pitch> line;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    PitchClass name = spelled_in(notes[i].midi % 12, key);
    if (!key.contains(name) && i + 1 < notes.size()) {
      const int step = notes[i + 1].midi - notes[i].midi;
      const PitchClass next = spelled_in(notes[i + 1].midi % 12, key);
      // A minor second below or above the next note is another letter; not for the sake of a white key with a sign.
      const PitchClass led = step == 1 ? next - intervals::minor_second : next + intervals::minor_second;
      const bool plain = led.alteration() == 0 || (std::abs(led.alteration()) == 1 && is_black_key(notes[i].midi));
      if (std::abs(step) == 1 && plain) name = led;
    }
    const Pitch pitch = lowest_at_or_above(name, notes[i].midi);
    // MIDI's lowest note as B sharp would stand in an octave that no text has.
    line.push_back(pitch.octave() >= -1 ? pitch : Pitch(PitchClass{}, -1));
  }
  return line;
}

Parsed<SongReading> song_of_take(std::vector<TakeNote> notes, const TakeFacts& facts) {
  notes = top_line(std::move(notes));
  if (notes.empty()) return TextError{"there are no notes to read", "play a tune, one note at a time"};
  SongReading reading;
  const QuantisedTake take = quantise(notes, facts.meter, 60 / facts.quarters_per_minute);
  const Progression chords = chords_alone(facts);
  const Key key = facts.key            ? *facts.key
                  : has_chords(chords) ? find_key(timeline(chords, Key{})).main.key
                                       : key_of_notes(notes, take.best.notes, facts.meter);
  const std::vector<Pitch> pitches = spelled_line(notes, key);
  TakeBars bars(facts, take.best.notes.front().start);
  reading.bars_before = bars.bars_before();
  std::vector<Measure> measures = bars.cut(take.best.notes, pitches);
  Progression& song = reading.progression;
  song.title = facts.title;
  song.key = KeyText{key.tonic, key.mode};
  song.written_meter = facts.meter;
  const double bpm = facts.quarters_per_minute / facts.meter.pulse_length().quarters();
  if (bpm >= slowest_bpm && bpm <= fastest_bpm) song.tempo_bpm = std::round(bpm);
  const SongChange first{song.written_meter, song.key, song.tempo_bpm};
  for (Measure& measure : measures) measure.counts = first;
  std::vector<std::string> remarks;
  if (!play_into(sections_of(std::move(measures), remarks), reading)) {
    return TextError{"the take is too long", "record it in parts"};
  }
  reading.key_found = !facts.key;
  if (!facts.key) {
    const char* const what = has_chords(chords) ? "chords" : "notes";
    reading.decisions.push_back({0, fmt::format("the {} taken to be in {}", what, to_string(key)), true});
  }
  if (take.best.swung) reading.decisions.push_back({0, "swung eighths written as plain ones", true});
  if (take.second) {
    reading.decisions.push_back(
        {0, take.second->swung ? "the eighths may be swung" : "the eighths may be plain, or parts of triplets", true});
  }
  return reading;
}

}  // namespace romanesca
