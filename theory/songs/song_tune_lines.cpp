#include "theory/songs/song_tune_lines.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "theory/songs/song_tune.h"
#include "theory/text/characters.h"
#include "theory/tunes/syllables.h"
#include "theory/tunes/tune_line.h"
#include "theory/tunes/verses.h"

namespace romanesca {
namespace {

/// The bytes of a label and its colon, with the blanks before it; 0 where the line has none of these.
template <std::size_t count>
std::size_t label_length(std::string_view line, const std::array<std::string_view, count>& labels) {
  const std::size_t from = line.find_first_not_of(" \t");
  if (from == std::string_view::npos) return 0;
  for (const std::string_view label : labels) {
    const std::string_view word = line.substr(from, label.size());
    if (small_letters(word) != label) continue;
    const std::size_t colon = line.find_first_not_of(" \t", from + label.size());
    if (colon != std::string_view::npos && line[colon] == ':') return colon + 1;
  }
  return 0;
}

constexpr std::array<std::string_view, 2> tune_labels{"tune", "melody"};
constexpr std::array<std::string_view, 3> words_labels{"words", "lyrics", "w"};

/// What stands after the label, without a comment.
std::string_view after_label(std::string_view line, std::size_t label) {
  const std::string_view text = line.substr(label);
  return text.substr(0, text.find(" #"));
}

/// Notes alone stand behind the label; "Tune: Old Mill" is a fact about the song.
bool is_music(const SongLine& line) {
  return read_tune_line(after_label(line.raw, label_length(line.raw, tune_labels)), {}).is_notes;
}

/// Every bar lasts half of what it should, in the usual unit: the writer counts in quarter notes.
bool fills_half(const TuneLine& tune, const TuneLineSettings& settings) {
  const Beats half = settings.meter.bar_length() / 2;
  if (tune.fault || settings.unit != Beats(1, 2) || tune.unit != settings.unit) return false;
  return tune.bars.size() > 1 && tune.short_bars.size() == tune.bars.size() &&
         std::all_of(tune.short_bars.begin(), tune.short_bars.end(),
                     [&](const ShortBar& bar) { return bar.missing == half; });
}

bool has_signs(const WrittenRow& row) {
  return std::any_of(row.bars.begin(), row.bars.end(),
                     [](const WrittenBar& bar) { return bar.opens || bar.closes > 0 || bar.ending > 0; });
}

std::vector<SungNote> sung_in(WrittenRow& row, bool tied_before) {
  std::vector<BarNotes*> bars;
  for (WrittenBar& bar : row.bars) bars.push_back(&bar.tune);
  return sung_notes(row.upbeat, bars, tied_before);
}

/// The syllables as words under the chords of a row: before the first one, then from each one on.
std::vector<std::string> words_under_chords(const WrittenRow& row, Meter meter) {
  std::vector<std::string> words(1);
  const auto add = [&](const BarNote& note) {
    if (note.syllable.empty()) return;
    words.back() += note.syllable;
    if (note.end != SyllableEnd::hyphen) words.back() += ' ';
  };
  for (const BarNote& note : row.upbeat) add(note);
  for (const WrittenBar& bar : row.bars) {
    const auto slots = static_cast<std::int64_t>(bar.slots.size());
    std::size_t next = 0;
    for (std::int64_t i = 0; i < slots; ++i) {
      if (!std::holds_alternative<Hold>(bar.slots[static_cast<std::size_t>(i)].content)) words.emplace_back();
      const Beats end = meter.bar_length() * (i + 1) / slots;
      for (; next < bar.tune.size() && bar.tune[next].start < end; ++next) add(bar.tune[next]);
    }
  }
  while (!words.back().empty() && words.back().back() == ' ') words.back().pop_back();
  return words;
}

}  // namespace

bool is_tune_line(std::string_view line) { return label_length(line, tune_labels) > 0; }
bool is_words_line(std::string_view line) { return label_length(line, words_labels) > 0; }

bool has_tune(const WrittenRow& row) {
  return !row.upbeat.empty() ||
         std::any_of(row.bars.begin(), row.bars.end(), [](const WrittenBar& bar) { return !bar.tune.empty(); });
}

bool ends_tied(const WrittenRow& row) {
  return !row.bars.empty() && !row.bars.back().tune.empty() && row.bars.back().tune.back().tied;
}

void put_words_to_tune(const SongLine& line, WrittenRow& row, bool tied_before, SongNotes& notes, std::size_t verse) {
  const std::size_t label = label_length(line.raw, words_labels);
  const std::string_view words = after_label(line.raw, label);
  const std::vector<SungNote> sung = sung_in(row, tied_before);
  if (verse == 0) {
    for (const SungNote& each : sung) clear_syllables(*each.note);
  }
  const PlacedSyllables placed = put_syllables(words, sung, verse);
  if (const auto& fault = placed.fault) {
    return notes.fail(line, label + fault->at, fault->length, fault->message, fault->hint);
  }
  if (placed.notes_left > 0) {
    notes.decisions.push_back({line.number,
                               fmt::format("words for {} of {} notes: the rest have none (_ holds a syllable over one "
                                           "more note)",
                                           sung.size() - placed.notes_left, sung.size()),
                               true});
  }
  if (verse > 0) return;
  const auto silent = [](const SungNote& each) { return each.note->syllable.empty(); };
  row.words.clear();
  if (!std::all_of(sung.begin(), sung.end(), silent)) {
    row.words = words_under_chords(row, row.counts.meter.value_or(Meter{}));
  }
}

bool SongTuneLines::add_chords(WrittenRow row, int line) {
  std::vector<WrittenRow>& rows = sections_.current().rows;
  const bool above = bare_line_ > 0 && line == bare_line_ + 1 && !rows.empty();
  const bool under_tune = above && !has_signs(row) && rows.back().bars.size() == row.bars.size();
  if (!under_tune) {
    sections_.add_row(std::move(row));
    row_open_ = true;
    next_verse_.reset();
    return false;
  }
  for (std::size_t i = 0; i < row.bars.size(); ++i) rows.back().bars[i].slots = std::move(row.bars[i].slots);
  rows.back().comment = std::move(row.comment);
  bare_line_ = 0;
  return true;
}

bool SongTuneLines::read(const SongLine& line, std::size_t index, const SongChanges& changes) {
  const bool own_bars = !row_open_ && line.raw.find('|') != std::string_view::npos;
  if (is_tune_line(line.raw) && !row_open_ && !own_bars && is_music(line)) {
    notes_.fail(line, 0, line.raw.size(), "a tune without bar lines", "put | between its bars: tune: C2 D2 E4 | G8 |");
    return true;
  }
  if (is_tune_line(line.raw) && (row_open_ || own_bars)) {
    if (own_bars) {
      WrittenRow row;
      row.counts = changes.counting();
      read_notes(line, row, changes.meter());
      if (!notes_.fault) sections_.add_row(std::move(row));
      bare_line_ = line.number;
    } else {
      read_notes(line, sections_.current().rows.back(), changes.meter());
    }
    row_open_ = false;
    next_verse_ = 0;
    return true;
  }
  if (!is_words_line(line.raw)) return false;
  if (put_words(line)) return true;
  if (!sections_.waits_for_chords() || !sections_.is_recall()) return false;
  sections_.add_words(index);
  return true;
}

bool SongTuneLines::put_words(const SongLine& line) {
  if (!next_verse_ || *next_verse_ == most_verses) return false;
  if (*next_verse_ > 0 && !is_words_line(line.raw)) return false;
  put_words_to_tune(line, sections_.current().rows.back(), tied_before_, notes_, *next_verse_);
  ++*next_verse_;
  return true;
}

void SongTuneLines::read_notes(const SongLine& line, WrittenRow& row, Meter meter) {
  const std::size_t label = label_length(line.raw, tune_labels);
  const TuneLineSettings settings{meter, tune_signature(row.counts.key), unit_, row.bars.size(), tied_to_};
  TuneLine tune = read_tune_line(after_label(line.raw, label), settings);
  if (fills_half(tune, settings)) {
    TuneLineSettings twice = settings;
    twice.unit = settings.unit * 2;
    TuneLine again = read_tune_line(after_label(line.raw, label), twice);
    if (!again.fault && again.short_bars.empty()) {
      tune = std::move(again);
      notes_.decisions.push_back({line.number, "a letter alone read as a quarter note, which fills the bars", true});
    }
  }
  if (tells_letters_)
    notes_.decisions.push_back({line.number, "in a tune the letters of ABC count: B is H, _B is B", true});
  tells_letters_ = false;
  if (tune.doubt) notes_.decisions.push_back({line.number, tune.doubt->message, true});
  if (tune.fault) {
    return notes_.fail(line, label + tune.fault->at, tune.fault->length, tune.fault->message, tune.fault->hint);
  }
  if (tune.repeats && !has_signs(row)) {
    return notes_.fail(line, label + tune.repeats->at, tune.repeats->length, tune.repeats->message, tune.repeats->hint);
  }
  if (row.bars.empty()) {
    row.bars.resize(tune.bars.size());
    for (WrittenBar& bar : row.bars) bar.slots.push_back({NoChord{}, {line.number, 1, 1}});
  }
  for (std::size_t i = 0; i < row.bars.size(); ++i) row.bars[i].tune = std::move(tune.bars[i]);
  row.upbeat = std::move(tune.upbeat);
  if (tune.upbeat_length > Beats(0)) upbeats_.push_back(tune.upbeat_length);
  for (const ShortBar& bar : tune.short_bars) {
    const bool may_end = bar.bar + 1 == row.bars.size() || row.bars[bar.bar].closes > 0;
    short_ends_.push_back({&line, label + bar.at, bar.length, may_end ? bar.missing : Beats(0),
                           beats_text(meter.bar_length() - bar.missing, meter), meter});
  }
  tied_before_ = tied_to_.has_value();
  tied_to_ = tune.tied_to;
  tied_line_ = &line;
  unit_ = tune.unit;
}

void SongTuneLines::finish() {
  std::sort(upbeats_.begin(), upbeats_.end());
  for (const ShortEnd& end : short_ends_) {
    if (std::binary_search(upbeats_.begin(), upbeats_.end(), end.missing)) continue;
    return notes_.fail(
        *end.line, end.at, end.length,
        fmt::format("the notes of this bar last {}, {} has {}", end.lasts, to_string(end.meter), end.meter.upper),
        "write what is missing as a longer note or a rest: z is an eighth, z2 a quarter; [L:1/4] at the beginning "
        "makes C a "
        "quarter");
  }
  if (tied_to_) {
    notes_.fail(*tied_line_, tied_line_->raw.size(), 1, "no note after the last tie", "take the - at the end out");
  }
}

}  // namespace romanesca
