#include "theory/songs/song_sections.h"

#include <fmt/format.h>

#include <algorithm>

#include "theory/songs/song_tune_lines.h"

namespace romanesca {
namespace {

constexpr int most_times = 99;

std::string text_of(const SongLine& line) { return std::string(trimmed(line.text)); }

}  // namespace

void SongSections::open(const SongHeading& heading, std::size_t line) {
  close();
  if (notes_.fault || !check_times(heading.times, lines_[line])) return;
  WrittenSection section;
  section.name = heading.name;
  section.line = lines_[line].number;
  section.has_times = heading.has_times;
  section.times = heading.times;
  ask(heading.same_as, line);
  sections_.push_back(std::move(section));
  words_.clear();
  inside_repeat_ = false;
}

void SongSections::open_unnamed() {
  close();
  sections_.emplace_back();
  inside_repeat_ = false;
}

void SongSections::ask(const std::string& name, std::size_t line) {
  asked_ = name;
  asked_line_ = line;
}

void SongSections::add_row(WrittenRow row) {
  bars_ += row.bars.size();
  for (const WrittenBar& bar : row.bars) {
    if (bar.opens) inside_repeat_ = true;
    if (bar.closes > 0) inside_repeat_ = false;
  }
  if (segno_comes_ && !row.bars.empty()) row.bars.front().segno = true;
  segno_comes_ = segno_comes_ && row.bars.empty();
  sections_.back().rows.push_back(std::move(row));
  asked_.clear();
}

bool SongSections::check_times(int times, const SongLine& line) {
  if (times <= most_times) return true;
  notes_.fail(line, 0, line.text.size(), fmt::format("more than {} times", most_times), "write a smaller number");
  return false;
}

void SongSections::multiply(int times, const SongLine& line) {
  WrittenSection& section = sections_.back();
  if (!check_times(times, line) || !check_times(section.times * times, line)) return;
  section.times *= times;
  section.has_times = true;
  notes_.decide(line.number,
                fmt::format("{} played {} times: the count stands alone",
                            section.name.empty() ? "the part" : section.name, times),
                true, {{line.number, ""}});
}

void SongSections::mark(const FormMarks& marks, bool with_bars) {
  WrittenSection& section = sections_.back();
  if (marks.segno && !with_bars) segno_comes_ = true;
  if (marks.jump != Jump::none) section.jump = marks.jump;
  if (section.rows.empty()) return;
  if (marks.fine) section.rows.back().bars.back().fine = true;
  if (marks.to_coda) section.rows.back().bars.back().to_coda = true;
  if (marks.segno && with_bars) section.rows.back().bars.front().segno = true;
}

void SongSections::close() {
  WrittenSection& section = sections_.back();
  if (bars_ > most_bars_played) {
    const SongLine& line = lines_[static_cast<std::size_t>(std::max(1, section.line)) - 1];
    return notes_.fail(line, 0, line.text.size(), fmt::format("the song has more than {} bars", most_bars_played),
                       "repeat less often");
  }
  if (!section.rows.empty() || section.line == 0) {
    asked_.clear();
    leave_words_out();
    return remember(sections_.size() - 1);
  }
  const std::size_t source = source_of(section);
  if (source < sections_.size()) {
    take_chords(section, sections_[source]);
    return remember(sections_.size() - 1);
  }
  if (!asked_.empty()) return fail_without_source(section);
  notes_.leave_out(lines_[asked_line_], fmt::format("{}: a section without chords", section.name));
  leave_words_out();
  sections_.pop_back();
}

void SongSections::remember(std::size_t index) {
  const WrittenSection& section = sections_[index];
  if (section.rows.empty()) return;
  by_id_[heading_id(section.name)] = index;
  by_kind_[heading_kind(section.name)] = index;
  if (section.name.size() == 1) letters_.insert(section.name);
}

/// The section whose chords one without its own has; the number of sections for none.
std::size_t SongSections::source_of(const WrittenSection& section) const {
  const bool same = asked_ == "same";
  const std::string wanted = asked_.empty() || same ? section.name : asked_;
  if (const auto found = by_id_.find(heading_id(wanted)); found != by_id_.end()) return found->second;
  if (const auto found = by_kind_.find(heading_kind(wanted)); found != by_kind_.end()) return found->second;
  if (same && sections_.size() > 1 && !sections_[sections_.size() - 2].rows.empty()) return sections_.size() - 2;
  return sections_.size();
}

void SongSections::fail_without_source(const WrittenSection& section) {
  const SongLine& line = lines_[asked_line_];
  constexpr std::size_t most_named = 8;
  std::string known;
  std::size_t named = 0;
  for (const WrittenSection& each : sections_) {
    if (each.name.empty() || each.rows.empty() || ++named > most_named) continue;
    known += (known.empty() ? "" : ", ") + each.name;
  }
  notes_.fail(line, line.text.find_first_not_of(" \t"), trimmed(line.text).size(),
              fmt::format("there is no section \"{}\" before this line to play again",
                          asked_ == "same" ? section.name : asked_),
              known.empty() ? "write its chords" : fmt::format("write its chords, or name one of these: {}", known));
}

void SongSections::take_chords(WrittenSection& section, const WrittenSection& source) {
  section.recalls = source.name;
  for (const WrittenRow& row : source.rows) bars_ += row.bars.size();
  if (bars_ > most_bars_played) return;  // told when it is closed
  section.rows = source.rows;
  if (!section.has_times) section.times = source.times;
  const std::string id = heading_id(section.name);
  const bool same_name = id == heading_id(source.name);
  if (same_name || (!asked_.empty() && heading_id(asked_) == id)) section.name = source.name;
  if (!same_name) {
    notes_.decide(section.line, fmt::format("{} has no chords of its own: played as {}", section.name, source.name),
                  asked_.empty(), {{section.line, ""}});
  }
  asked_.clear();
  move_to_stated_key(section);
  if (!section.rows.empty()) recalled_ = section.rows.back().counts;
  put_words_under(section);
}

/// "Last chorus (in G)": the chords of the chorus, moved from the key in which it was.
void SongSections::move_to_stated_key(WrittenSection& section) {
  if (!section.stated_key || section.rows.empty()) return;
  const std::optional<KeyText> from = section.rows.front().counts.key;
  const SongLine& line = lines_[static_cast<std::size_t>(std::max(1, section.line)) - 1];
  const std::string to = to_string(section.stated_key->tonic);
  if (!from) {
    notes_.decide(line.number,
                  fmt::format("{} is in {}, but no key is stated for {}: its chords are taken as they are there",
                              section.name, to, section.recalls),
                  true);
    return;
  }
  const Interval by = interval_between(from->tonic, section.stated_key->tonic);
  if (by == Interval()) return;
  for (WrittenRow& row : section.rows) {
    if (row.counts.key) row.counts.key = KeyText{row.counts.key->tonic + by, row.counts.key->mode};
    transpose(row.upbeat, nearest_octave_of(by));
    for (WrittenBar& bar : row.bars) {
      transpose(bar.tune, nearest_octave_of(by));
      for (Slot& slot : bar.slots) {
        if (Chord* chord = std::get_if<Chord>(&slot.content)) *chord = transposed(*chord, by);
      }
    }
  }
  section.moved = true;
  notes_.decide(line.number,
                fmt::format("{} has the chords of {}, moved from {} to {}", section.name, section.recalls,
                            to_string(from->tonic), to),
                true);
}

/// Words of a section that has the chords of another: a line of words for each line of chords.
void SongSections::put_words_under(WrittenSection& section) {
  if (words_.empty()) return;
  for (WrittenRow& row : section.rows) row.words.clear();
  if (words_.size() != section.rows.size()) return leave_words_out();
  section.own_words = true;
  bool tied_before = false;
  for (std::size_t i = 0; i < words_.size(); ++i) {
    WrittenRow& row = section.rows[i];
    const SongLine& line = lines_[words_[i]];
    if (has_tune(row)) {
      put_words_to_tune(line, row, tied_before, notes_);
      tied_before = ends_tied(row);
    } else {
      row.words = {"", text_of(line)};
    }
  }
  words_.clear();
}

void SongSections::leave_words_out() {
  for (const std::size_t i : words_) notes_.leave_out(lines_[i], text_of(lines_[i]));
  words_.clear();
}

void SongSections::put_in_order(const std::vector<FormStep>& order, std::size_t line) {
  std::erase_if(sections_, [](const WrittenSection& section) { return section.rows.empty(); });
  if (order.size() <= sections_.size()) return;
  std::map<std::string, const WrittenSection*> by_id, by_kind;
  for (const WrittenSection& each : sections_) {
    by_id.try_emplace(heading_id(each.name), &each);
    by_kind.try_emplace(heading_kind(each.name), &each);
  }
  std::vector<WrittenSection> ordered;
  std::size_t bars = 0;
  for (const FormStep& step : order) {
    const auto same = by_id.find(heading_id(step.name));
    const auto like = by_kind.find(heading_kind(step.name));
    const WrittenSection* const found = same != by_id.end()     ? same->second
                                        : like != by_kind.end() ? like->second
                                                                : nullptr;
    if (found == nullptr) return notes_.leave_out(lines_[line], text_of(lines_[line]));
    for (const WrittenRow& row : found->rows) bars += row.bars.size();
    if (bars > most_bars_played) return notes_.leave_out(lines_[line], text_of(lines_[line]));
    ordered.push_back(*found);
    if (step.has_times) ordered.back().times = step.times;
  }
  notes_.decide(lines_[line].number, "played in the order of this line", false);
  sections_ = std::move(ordered);
}

void SongSections::play_into(SongReading& reading, const SongChange& first) {
  std::erase_if(sections_, [](const WrittenSection& section) { return section.rows.empty(); });
  PlayedForm form = played_out(sections_, first);
  if (form.too_long_at > 0) {
    const SongLine& line = lines_[static_cast<std::size_t>(form.too_long_at) - 1];
    return notes_.fail(
        line, 0, line.text.size(),
        fmt::format("the song has more than {} bars or {} chords as played", most_bars_played, most_chords_played),
        "repeat less often");
  }
  for (PlayedSection& each : form.sections) {
    const WrittenSection& written = sections_[each.written];
    SectionReading section{written.name, 0, written.recalls, each.times};
    for (const Row& row : each.rows) section.bars += static_cast<int>(row.bars.size());
    reading.sections.push_back(std::move(section));
    reading.progression.sections.push_back({written.name, std::move(each.rows), written.tempo_bpm});
  }
  if (!form.printed.is_plain()) reading.progression.form = std::move(form.printed);
}

}  // namespace romanesca
