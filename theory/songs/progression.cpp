#include "theory/songs/progression.h"

#include <algorithm>
#include <array>
#include <cstdlib>

#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

/// Collects the chords of the bars in order; remembers the last bar for % and the last chord for a hold.
class TimelineBuilder {
 public:
  TimelineBuilder(const Progression& progression, const Key& key)
      : written_key_(progression.key), first_key_(key), key_(key) {
    result_.meters = MeterMap(progression.meter());
    meter_ = progression.meter();
    relative_ = progression.notation != Notation::absolute;
  }

  /// What counts from the next bar on.
  void change(const SongChange& change) {
    const int bar = result_.bars + 1;
    if (change.meter) {
      result_.meters.change(bar, *change.meter);
      start_ = result_.meters.start_of(bar);
      meter_ = *change.meter;
    }
    if (change.tempo_bpm) result_.tempos.push_back({bar, *change.tempo_bpm});
    if (!change.key) return;
    KeyText key = *change.key;
    if (relative_ && written_key_) key.tonic = key.tonic + (first_key_.tonic - written_key_->tonic);
    key_ = {key.tonic, key.mode.value_or(key.tonic == first_key_.tonic ? first_key_.mode : key_.mode)};
    result_.keys.push_back({bar, key});
  }

  void add(std::uint32_t section, const Bar& bar) {
    if (!bar.repeats_last) last_ = &bar;
    ++result_.bars;
    const Beats bar_start = start_;
    start_ += meter_.bar_length();
    if (last_ == nullptr || last_->slots.empty()) return;
    const auto count = static_cast<std::int64_t>(last_->slots.size());
    const Beats share = meter_.bar_length() / count;
    for (std::int64_t i = 0; i < count; ++i) {
      const Slot& slot = last_->slots[static_cast<std::size_t>(i)];
      if (std::holds_alternative<Hold>(slot.content) && i > 0) {
        result_.chords.back().length += share;
        continue;
      }
      TimedChord timed{section, result_.bars, bar_start + share * i, share, {}, {}, false, slot.place};
      if (const Chord* chord = std::get_if<Chord>(&slot.content)) {
        timed.chord = *chord;
      } else if (const Numeral* numeral = std::get_if<Numeral>(&slot.content)) {
        timed.chord = realise(*numeral, key_);
        timed.numeral = *numeral;
      } else if (std::holds_alternative<Hold>(slot.content) && !result_.chords.empty()) {
        timed.chord = result_.chords.back().chord;
        timed.numeral = result_.chords.back().numeral;
        timed.held = true;
      }
      result_.chords.push_back(timed);
    }
  }

  Timeline take() { return std::move(result_); }

 private:
  std::optional<KeyText> written_key_;
  Key first_key_, key_;
  Meter meter_;
  Beats start_;
  bool relative_ = false;
  Timeline result_;
  const Bar* last_ = nullptr;
};

}  // namespace

Beats Timeline::beat_in_bar(const TimedChord& chord) const {
  const Beats into = chord.start - meters.start_of(chord.bar);
  return Beats(1) + into * meters.at(chord.bar).lower / 4;
}

Timeline timeline(const Progression& progression, const Key& key) {
  TimelineBuilder builder(progression, key);
  for (std::size_t i = 0; i < progression.sections.size(); ++i) {
    for (const Row& row : progression.sections[i].rows) {
      if (row.change.any()) builder.change(row.change);
      for (const Bar& bar : row.bars) builder.add(static_cast<std::uint32_t>(i), bar);
    }
  }
  return builder.take();
}

namespace {

/// Gives each chord of a row its words, in order.
class RowWords {
 public:
  explicit RowWords(const Row& row) : words_(row.words) {}

  std::string next() {
    std::string sung;
    if (piece_ == 0 && !words_.empty()) sung = words_[piece_++];
    if (piece_ < words_.size()) sung += words_[piece_++];
    // The next chord may begin inside a word.
    const bool goes_on = piece_ < words_.size() && !words_[piece_].empty() && words_[piece_].front() != ' ';
    if (goes_on && !sung.empty() && sung.back() != ' ' && sung.back() != '-') sung += '-';
    return sung;
  }

 private:
  const std::vector<std::string>& words_;
  std::size_t piece_ = 0;
};

/// Calls back for each chord of the row's timeline, in order, with whether words can stand under it.
/// @param last the last bar with chords of its own, kept for the rows after
template <typename Call>
void for_each_chord(const Row& row, const Bar*& last, Call call) {
  for (const Bar& bar : row.bars) {
    if (!bar.repeats_last) last = &bar;
    if (last == nullptr) continue;
    for (std::size_t i = 0; i < last->slots.size(); ++i) {
      const bool hold = std::holds_alternative<Hold>(last->slots[i].content);
      if (!hold || i == 0) call(!bar.repeats_last && !hold);
    }
  }
}

}  // namespace

std::vector<std::string> words_by_chord(const Progression& progression) {
  std::vector<std::string> words;
  const Bar* last = nullptr;
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) {
      RowWords sung(row);
      for_each_chord(row, last, [&](bool written) { words.push_back(written ? sung.next() : std::string()); });
    }
  }
  const bool any = std::any_of(words.begin(), words.end(), [](const std::string& each) { return !each.empty(); });
  if (!any) words.clear();
  return words;
}

void put_words_by_chord(Progression& progression, const std::vector<std::string>& words) {
  const Bar* last = nullptr;
  std::size_t chord = 0;
  for (Section& section : progression.sections) {
    for (Row& row : section.rows) {
      row.words.clear();
      std::vector<std::string> pieces(1);  // nothing before the first chord
      for_each_chord(row, last, [&](bool written) {
        if (written) pieces.push_back(chord < words.size() ? words[chord] : std::string());
        if (written && !pieces.back().empty() && pieces.back().back() != '-') pieces.back() += ' ';
        ++chord;
      });
      const bool any = std::any_of(pieces.begin(), pieces.end(), [](const auto& each) { return !each.empty(); });
      if (any) row.words = std::move(pieces);
    }
  }
}

Mode mode_of_numerals(const Progression& progression) {
  bool minor_tonic = false;
  bool major_tonic = false;
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) {
      for (const Bar& bar : row.bars) {
        for (const Slot& slot : bar.slots) {
          const Numeral* numeral = std::get_if<Numeral>(&slot.content);
          if (numeral == nullptr || numeral->named != NamedChord::none || !numeral->applied_to.empty()) continue;
          if (numeral->root.number != 1 || numeral->root.accidental != 0) continue;
          const bool major = numeral->root.upper && !numeral->type.is_minor();  // "Im7" is as minor as "i7"
          (major ? major_tonic : minor_tonic) = true;
        }
      }
    }
  }
  return minor_tonic && !major_tonic ? Mode::minor : Mode::major;
}

namespace {

PitchClass readable(PitchClass name) {
  while (name.alteration() > 2) name = PitchClass(name.fifths() - 12);
  while (name.alteration() < -2) name = PitchClass(name.fifths() + 12);
  return name;
}

}  // namespace

Chord transposed(const Chord& chord, Interval by) {
  return {readable(chord.root + by), chord.type, readable(chord.bass + by)};
}

namespace {

/// Also those of later parts.
void move_keys(Progression& progression, Interval by) {
  if (progression.key) progression.key->tonic = progression.key->tonic + by;
  for (Section& section : progression.sections) {
    for (Row& row : section.rows) {
      std::optional<KeyText>& key = row.change.key;
      if (key) key = KeyText{key->tonic + by, key->mode};
    }
  }
}

}  // namespace

Progression transposed(const Progression& progression, Interval by) {
  Progression moved = with_chords(progression, [&](auto content) {
    if (Chord* chord = std::get_if<Chord>(&content)) *chord = transposed(*chord, by);
    return content;
  });
  if (moved.notation != Notation::absolute) return moved;
  move_keys(moved, by);
  transpose_tune(moved, by);
  return moved;
}

namespace {

/// Semitones upwards as an interval with few accidentals.
Interval capo_interval(int fret) {
  constexpr std::array<int, 12> fifths{0, -5, 2, -3, 4, -1, 6, 1, -4, 3, -2, 5};
  return Interval::simple(fifths[static_cast<std::size_t>(fret % 12)]);
}

/// How many of the chords have their roots in the scale of the key.
std::size_t chords_in_key(const Progression& progression, const KeyText& key) {
  const Key scale{key.tonic, key.mode.value_or(Mode::major)};
  std::size_t count = 0;
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) {
      for (const Bar& bar : row.bars) {
        for (const Slot& slot : bar.slots) {
          const Chord* chord = std::get_if<Chord>(&slot.content);
          count += chord != nullptr && scale.contains(chord->root) ? 1 : 0;
        }
      }
    }
  }
  return count;
}

}  // namespace

Progression sounding_with_capo(const Progression& shapes) {
  if (shapes.capo == 0 || shapes.notation != Notation::absolute) return shapes;
  Progression moved = transposed(shapes, capo_interval(shapes.capo));
  if (shapes.key && chords_in_key(moved, *shapes.key) > chords_in_key(shapes, *shapes.key)) moved.key = shapes.key;
  return moved;
}

Progression shapes_with_capo(const Progression& sounding) {
  if (sounding.capo == 0 || sounding.notation != Notation::absolute) return sounding;
  return transposed(sounding, Interval() - capo_interval(sounding.capo));
}

Progression realised(const Progression& progression, const Key& key) {
  Progression result = progression;
  if (result.notation != Notation::absolute) {
    transpose_tune(result, key.tonic - (result.key ? result.key->tonic : PitchClass(0)));
    if (result.key) move_keys(result, key.tonic - result.key->tonic);
  }
  Key here = key;
  for (Section& section : result.sections) {
    for (Row& row : section.rows) {
      if (row.change.key) here = {row.change.key->tonic, row.change.key->mode.value_or(here.mode)};
      for (Bar& bar : row.bars) {
        for (Slot& slot : bar.slots) {
          if (const Numeral* numeral = std::get_if<Numeral>(&slot.content)) slot.content = realise(*numeral, here);
        }
      }
    }
  }
  result.notation = Notation::absolute;
  result.key = KeyText{key.tonic, key.mode};
  return result;
}

}  // namespace romanesca
