#include "theory/songs/song_tune.h"

#include <algorithm>

namespace romanesca {
namespace {

/// Puts the bars' notes one after the other.
class TuneBuilder {
 public:
  void add_upbeat(const BarNotes& upbeat) {
    if (upbeat.empty()) return;
    const Beats from = bar_start_ + upbeat.front().start;
    if (bar_start_ == Beats(0)) tune_.upbeat = Beats(0) - upbeat.front().start;
    cut_at(from);
    for (const BarNote& note : upbeat) add(note);
  }

  void add_bar(const BarNotes& bar, Beats length) {
    for (const BarNote& note : bar) add(note);
    bar_start_ += length;
  }

  Tune take() { return std::move(tune_); }

 private:
  void cut_at(Beats time) {
    while (!tune_.notes.empty() && tune_.notes.back().start >= time) tune_.notes.pop_back();
    if (tune_.notes.empty()) return;
    TuneNote& last = tune_.notes.back();
    if (last.start + last.length <= time) return;
    last.length = time - last.start;
    tied_ = false;
  }

  void add(const BarNote& note) {
    const Beats start = bar_start_ + note.start;
    if (tied_ && !tune_.notes.empty()) {
      TuneNote& last = tune_.notes.back();
      if (last.pitch == note.pitch && last.start + last.length == start) {
        last.length += note.length;
        tied_ = note.tied;
        return;
      }
    }
    tune_.notes.push_back({start, note.length, note.pitch, note.syllable, note.end, note.later_verses});
    tied_ = note.tied;
  }

  Tune tune_;
  Beats bar_start_;
  bool tied_ = false;
};

}  // namespace

bool has_tune(const Progression& progression) {
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) {
      if (!row.upbeat.empty()) return true;
      for (const Bar& bar : row.bars) {
        if (!bar.tune.empty()) return true;
      }
    }
  }
  return false;
}

Progression without_tune(Progression progression) {
  for (Section& section : progression.sections) {
    for (Row& row : section.rows) {
      row.upbeat.clear();
      for (Bar& bar : row.bars) bar.tune.clear();
    }
  }
  return progression;
}

Tune tune_of(const Progression& progression, const Key& key, const std::vector<int>& silent_upbeats) {
  TuneBuilder builder;
  Meter meter = progression.meter();
  int number = 1;  // of the bar, as played
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) {
      if (row.change.meter) meter = *row.change.meter;
      if (!std::binary_search(silent_upbeats.begin(), silent_upbeats.end(), number)) builder.add_upbeat(row.upbeat);
      number += static_cast<int>(row.bars.size());
      for (const Bar& bar : row.bars) builder.add_bar(bar.tune, meter.bar_length());
    }
  }
  Tune tune = builder.take();
  if (progression.notation == Notation::absolute) return tune;
  const PitchClass written = progression.key ? progression.key->tonic : PitchClass(0);
  const Interval by = nearest_octave_of(key.tonic - written);
  for (TuneNote& note : tune.notes) note.pitch = note.pitch + by;
  return tune;
}

namespace {

/// The places of a song's notes: its upbeat, then its bars.
std::vector<BarNotes*> places_of(Progression& progression) {
  std::vector<BarNotes*> places;
  for (Section& section : progression.sections) {
    for (Row& row : section.rows) {
      if (places.empty()) places.push_back(&row.upbeat);
      for (Bar& bar : row.bars) places.push_back(&bar.tune);
    }
  }
  return places;
}

}  // namespace

void put_tune(Progression& progression, const Tune& tune) {
  const MeterMap meters = timeline(progression, Key{}).meters;
  const std::vector<BarNotes*> places = places_of(progression);
  for (const TuneNote& note : tune.notes) {
    bool begins = true;
    const Beats end = note.start + note.length;
    for (Beats at = note.start; at < end;) {
      const int bar = at < Beats(0) ? 0 : meters.bar_at(at);
      if (static_cast<std::size_t>(bar) >= places.size()) break;
      const Beats from = bar == 0 ? Beats(0) : meters.start_of(bar);
      const Beats until = std::min(end, bar == 0 ? Beats(0) : meters.end_of(bar));
      BarNote piece{at - from, until - at, note.pitch, until < end};
      if (begins) {
        piece.syllable = note.syllable;
        piece.end = note.end;
        piece.later_verses = note.later_verses;
      }
      places[static_cast<std::size_t>(bar)]->push_back(std::move(piece));
      begins = false;
      at = until;
    }
  }
}

int tune_signature(const std::optional<KeyText>& key) {
  if (!key) return 0;
  return std::clamp(Key{key->tonic, key->mode.value_or(Mode::major)}.signature(), -7, 7);
}

void transpose_tune(Progression& progression, Interval by) {
  const Interval near = nearest_octave_of(by);
  for (Section& section : progression.sections) {
    for (Row& row : section.rows) {
      transpose(row.upbeat, near);
      for (Bar& bar : row.bars) transpose(bar.tune, near);
    }
  }
}

}  // namespace romanesca
