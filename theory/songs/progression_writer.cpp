#include "theory/songs/progression_writer.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "theory/songs/header_text.h"
#include "theory/songs/song_heading.h"
#include "theory/songs/song_tune.h"
#include "theory/songs/symbol_text.h"
#include "theory/text/characters.h"
#include "theory/tunes/syllables.h"
#include "theory/tunes/tune_writer.h"
#include "theory/tunes/verses.h"

namespace romanesca {
namespace {

std::string write_slot(const Slot& slot, NoteNames names) {
  if (std::holds_alternative<NoChord>(slot.content)) return "N.C.";
  if (std::holds_alternative<Hold>(slot.content)) return "/";
  if (const auto* chord = std::get_if<Chord>(&slot.content)) return name_in(*chord, names);
  return to_string(Symbol{std::get<Numeral>(slot.content)});
}

/// A bar of the song as played, and the row that it stands in.
struct PlacedBar {
  const Row* row = nullptr;
  const Bar* bar = nullptr;
  Meter meter{};
  int signature = 0;         ///< of the key that counts in it
  bool tied_before = false;  ///< the tune of the bar before is tied to its first note
};

std::vector<PlacedBar> placed_bars(const Progression& progression) {
  std::vector<PlacedBar> bars;
  Meter meter = progression.meter();
  std::optional<KeyText> key = progression.key;
  bool tied = false;
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) {
      if (row.change.meter) meter = *row.change.meter;
      if (row.change.key) key = row.change.key;
      for (const Bar& bar : row.bars) {
        bars.push_back({&row, &bar, meter, tune_signature(key), tied});
        tied = !bar.tune.empty() && bar.tune.back().tied;
      }
    }
  }
  return bars;
}

/// The line of the tune under a line of bars, and its syllables; empty for bars of rest.
std::string write_tune(const std::vector<PlacedBar>& bars) {
  if (bars.empty()) return {};
  const PlacedBar& first = bars.front();
  const bool begins_row = !first.row->bars.empty() && first.bar == first.row->bars.data();
  BarNotes upbeat = begins_row ? first.row->upbeat : BarNotes();
  std::vector<BarNotes> notes;  // copies, as syllables are read through places that may be written to
  for (const PlacedBar& bar : bars) notes.push_back(bar.bar->tune);
  BarsToWrite line{&upbeat, {}, first.signature, first.meter};
  std::vector<BarNotes*> places;
  for (BarNotes& bar : notes) {
    line.bars.push_back(&bar);
    places.push_back(&bar);
  }
  const bool any = std::any_of(notes.begin(), notes.end(), [](const BarNotes& bar) { return !bar.empty(); });
  if (!any && upbeat.empty()) return {};
  std::string text = upbeat.empty() ? "tune: | " : "tune: ";
  for (const std::string& bar : write_tune_bars(line)) text += bar + " | ";
  text.back() = '\n';
  const std::vector<SungNote> sung = sung_notes(upbeat, places, first.tied_before);
  std::size_t verses = count_verses(upbeat);
  for (const BarNotes& bar : notes) verses = std::max(verses, count_verses(bar));
  for (std::size_t verse = 0; verse < verses; ++verse) {
    const std::string words = syllables_text(sung, verse);
    text += words.empty() ? "words:\n" : "words: " + words + "\n";
  }
  return text;
}

bool has_syllables(const std::vector<PlacedBar>& bars) {
  return std::any_of(bars.begin(), bars.end(), [](const PlacedBar& bar) {
    return std::any_of(bar.bar->tune.begin(), bar.bar->tune.end(),
                       [](const BarNote& note) { return !note.syllable.empty(); });
  });
}

/// One line of bars on paper.
class RowText {
 public:
  explicit RowText(NoteNames names) : names_(names) {}

  /// Adds a bar, with its words where the line has some.
  void add(const Bar& bar, const PrintedBar& signs, const Row* words) {
    const std::string opening = opening_of(signs);
    if (bar.repeats_last) {
      chords_ += opening + "% ";
      return close(signs);
    }
    bool first = true;
    for (const Slot& slot : bar.slots) {
      const bool sung = words != nullptr && !std::holds_alternative<Hold>(slot.content);
      if (sung) begin_words(*words);
      const std::size_t before = first ? code_points(opening) : 0;
      const std::size_t wanted = sung ? code_points(sung_) : 0;
      const std::size_t column = std::max(code_points(chords_) + before, wanted);
      chords_.append(column - before - code_points(chords_), ' ');
      chords_ += (first ? opening : "") + write_slot(slot, names_) + " ";
      first = false;
      if (sung) add_words(*words, column);
    }
    close(signs);
  }

  /// The line, and the words under it. @param words of the row, or null
  [[nodiscard]] std::string text(const Row* words, const std::string& comment) {
    std::string line = chords_ + close_;
    if (!ends_.empty()) line += "  " + ends_;
    if (!comment.empty()) line += "  " + comment;
    line += "\n";
    if (words == nullptr) return line;
    if (piece_ == 0) sung_ = words->words.front();
    return line + sung_ + "\n";
  }

 private:
  /// The bar line before a bar, with the end of the one before it.
  [[nodiscard]] std::string opening_of(const PrintedBar& signs) const {
    std::string text = chords_.empty() && signs.segno ? "Segno " : "";
    if (signs.opens) return text + (close_ == ":|" ? ":||: " : "|: ");
    text += close_.empty() ? "|" : close_;
    if (signs.ending > 0) {
      text += signs.ending == signs.ending_to ? fmt::format("{}.", signs.ending)
                                              : fmt::format("{}-{}.", signs.ending, signs.ending_to);
    }
    return text + " ";
  }

  void close(const PrintedBar& signs) {
    close_ = signs.closes > 0 ? ":|" : "|";
    if (signs.closes > 2) {
      chords_ += fmt::format(":| x{} ", signs.closes);
      close_ = "|";
    }
    if (signs.fine) ends_ = "Fine";
    if (signs.to_coda) ends_ = "To Coda";
  }

  /// What is sung before the first chord of the line.
  void begin_words(const Row& row) {
    if (piece_ == 0) sung_ = row.words[piece_++];
  }

  /// What is sung from a chord on. @param column of the chord
  void add_words(const Row& row, std::size_t column) {
    if (piece_ >= row.words.size()) return;
    const std::string& next = row.words[piece_++];
    const bool inside_word = !sung_.empty() && sung_.back() != ' ' && !next.empty() && next.front() != ' ';
    if (code_points(sung_) < column) sung_.append(column - code_points(sung_), inside_word ? '-' : ' ');
    sung_ += next;
  }

  NoteNames names_;
  std::string chords_, sung_, close_, ends_;
  std::size_t piece_ = 0;
};

std::string write_change(const SongChange& change, NoteNames names) {
  std::string text;
  if (change.key) text += write_key_line(*change.key, names);
  if (change.tempo_bpm) text += fmt::format("tempo: {}\n", *change.tempo_bpm);
  if (change.meter) text += fmt::format("meter: {}\n", to_string(*change.meter));
  return text;
}

/// The bars of a section, line for line.
std::string write_bars(const PrintedSection& section, const std::vector<PlacedBar>& bars, NoteNames names) {
  std::string text;
  for (std::size_t from = 0; from < section.bars.size();) {
    std::size_t to = from + 1;
    while (to < section.bars.size() && !section.bars[to].begins_row) ++to;
    const Row& row = *bars[static_cast<std::size_t>(section.bars[from].bar) - 1].row;
    text += write_change(row.change, names);
    RowText line(names);
    std::vector<PlacedBar> placed;
    for (std::size_t i = from; i < to; ++i) placed.push_back(bars[static_cast<std::size_t>(section.bars[i].bar) - 1]);
    const Row* const words = row.words.empty() || has_syllables(placed) ? nullptr : &row;
    for (std::size_t i = from; i < to; ++i) line.add(*placed[i - from].bar, section.bars[i], words);
    text += line.text(words, row.comment) + write_tune(placed);
    from = to;
  }
  return text;
}

std::string write_recall(const PrintedSection& section) {
  const bool by_name = heading_id(section.name) == heading_id(section.same_as) ||
                       heading_kind(section.name) == heading_kind(section.same_as);
  return by_name ? std::string() : fmt::format("(same as {})\n", section.same_as);
}

/// With its form as it stands on paper.
std::string write_form(const Progression& progression, const PrintedForm& form) {
  const std::vector<PlacedBar> bars = placed_bars(progression);
  std::string text;
  for (const PrintedSection& section : form.sections) {
    if (section.bars.empty()) continue;
    text += "\n";
    const std::string times = section.times > 1 ? fmt::format("x{}", section.times) : "";
    if (!section.name.empty()) {
      text += fmt::format("[{}]{}{}\n", section.name, times.empty() ? "" : " ", times);
    }
    const auto& tempo = progression.sections[section.section].tempo_bpm;
    if (tempo && !section.name.empty()) text += fmt::format("tempo: {}\n", *tempo);
    text += section.is_recall() ? write_recall(section) : write_bars(section, bars, progression.names);
    if (section.name.empty() && !times.empty()) text += fmt::format("({})\n", times);
    if (section.jump != Jump::none) text += fmt::format("{}\n", to_string(section.jump));
  }
  return text;
}

/// @param bars those of the row
std::string write_row(const Row& row, const std::vector<PlacedBar>& bars, NoteNames names) {
  std::string text = write_change(row.change, names);
  if (row.bars.empty()) return text + row.comment + "\n";
  const Row* const words = row.words.empty() || has_syllables(bars) ? nullptr : &row;
  RowText line(names);
  for (const Bar& bar : row.bars) line.add(bar, {}, words);
  return text + line.text(words, row.comment) + write_tune(bars);
}

}  // namespace

std::string write_progression(const Progression& written) {
  const Progression progression = shapes_with_capo(written);
  std::string text = write_header(progression);
  if (progression.form) {
    text += write_form(progression, printed_form(progression));
    return text.starts_with('\n') ? text.substr(1) : text;
  }
  const std::vector<PlacedBar> bars = placed_bars(progression);
  auto next = bars.begin();
  for (const Section& section : progression.sections) {
    if (!text.empty()) text += "\n";
    if (!section.name.empty()) text += fmt::format("[{}]\n", section.name);
    if (section.tempo_bpm) text += fmt::format("tempo: {}\n", *section.tempo_bpm);
    for (const Row& row : section.rows) {
      const auto end = next + static_cast<std::ptrdiff_t>(row.bars.size());
      text += write_row(row, {next, end}, progression.names);
      next = end;
    }
  }
  return text;
}

std::string write_as_played(Progression progression) {
  progression = without_tune(std::move(progression));
  progression.form.reset();
  progression.capo = 0;
  progression.names = NoteNames::english;
  for (Section& section : progression.sections) {
    for (Row& row : section.rows) row.words.clear();
  }
  return write_progression(progression);
}

}  // namespace romanesca
