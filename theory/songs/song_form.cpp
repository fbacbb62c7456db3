#include "theory/songs/song_form.h"

#include <algorithm>
#include <optional>
#include <unordered_map>

#include "theory/songs/song_heading.h"

namespace romanesca {
namespace {

/// A bar in the order in which it is played.
struct PlayedBar {
  const WrittenBar* bar = nullptr;
  const WrittenRow* row = nullptr;
  bool left_out_later = false;  ///< an earlier pass of a repeat, which "D.C." does not take again
};

/// Repeats and endings of one section.
class SectionPlayer {
 public:
  bool play(const WrittenSection& section) {
    std::vector<std::pair<const WrittenBar*, const WrittenRow*>> bars;
    for (const WrittenRow& row : section.rows) {
      for (const WrittenBar& bar : row.bars) bars.emplace_back(&bar, &row);
    }
    // Whether another ending of the same repeat comes after a bar.
    std::vector<bool> more_endings(bars.size() + 1, false);
    for (std::size_t i = bars.size(); i-- > 0;) {
      const bool next_is_one = i + 1 < bars.size() && bars[i + 1].first->ending > 0;
      const bool next_opens = i + 1 < bars.size() && bars[i + 1].first->opens;
      more_endings[i] = next_is_one || (!next_opens && more_endings[i + 1]);
    }
    for (std::size_t i = 0; i < bars.size(); ++i) {
      if (!add(*bars[i].first, *bars[i].second, more_endings[i])) return false;
    }
    const std::size_t once = played.size();
    for (int i = 1; i < section.times; ++i) {
      if (!copy(0, once)) return false;
    }
    return true;
  }

  std::vector<PlayedBar> played;

 private:
  bool add(const WrittenBar& bar, const WrittenRow& row, bool more_endings) {
    if (bar.opens) {
      start_ = played.size();
      ending_.reset();
      endings_ = 0;
    }
    if (bar.ending > 0) {
      if (!ending_) ending_ = played.size();
      passes_ = bar.ending;
      ++endings_;
    }
    played.push_back({&bar, &row, false});
    const bool last_ending = endings_ > 1 && !more_endings;  // ":|" after it only closes the repeat
    if (bar.closes > 0 && last_ending) {
      start_ = played.size();
      ending_.reset();
      endings_ = 0;
    } else if (bar.closes > 0) {
      const std::size_t end = played.size();
      const std::size_t body_end = ending_.value_or(end);
      const int more = ending_ ? passes_ : bar.closes - 1;
      for (int i = 0; i < more; ++i) {
        const bool whole = ending_ && i + 1 < more;  // an ending for several passes is played in each
        for (std::size_t from = start_; from < end; ++from) played[from].left_out_later = true;
        if (!copy(start_, whole ? end : body_end)) return false;
      }
      if (!ending_) {
        start_ = played.size();
      } else {
        // What follows is the next ending, after this pass of the body.
        start_ = played.size() - (body_end - start_);
        ending_ = played.size();
      }
    }
    return played.size() <= most_bars_played;
  }

  bool copy(std::size_t from, std::size_t to) {
    if (played.size() + (to - from) > most_bars_played) return false;
    for (std::size_t i = from; i < to; ++i) {
      played.push_back(played[i]);
      played.back().left_out_later = false;
    }
    return true;
  }

  std::size_t start_ = 0;
  std::optional<std::size_t> ending_;
  int passes_ = 1;
  int endings_ = 0;
};

/// What is to be stated at a bar after what counted before it.
SongChange change_between(const SongChange& before, const SongChange& now) {
  SongChange change;
  if (now.meter && now.meter != before.meter) change.meter = now.meter;
  if (now.key && now.key != before.key) change.key = now.key;
  if (now.tempo_bpm && now.tempo_bpm != before.tempo_bpm) change.tempo_bpm = now.tempo_bpm;
  return change;
}

/// @param counting what counts before these bars, and then after them
std::vector<Row> rows_of(const std::vector<PlayedBar>& bars, SongChange& counting) {
  std::vector<Row> rows;
  const WrittenRow* last_row = nullptr;
  const WrittenBar* last = nullptr;
  for (const PlayedBar& each : bars) {
    const bool long_row = each.row->words.empty() && each.row->bars.size() > 8;  // "x4" at the end of a line
    const bool full = long_row && !rows.empty() && rows.back().bars.size() >= 4;
    const bool goes_on = each.row == last_row && last != nullptr && each.bar > last && !full;
    if (!goes_on) {
      rows.emplace_back();
      const bool whole = each.bar == each.row->bars.data();
      if (whole) {
        rows.back().comment = each.row->comment;
        rows.back().words = each.row->words;
        rows.back().upbeat = each.row->upbeat;
      }
      rows.back().change = change_between(counting, each.row->counts);
      counting = each.row->counts;
    }
    rows.back().bars.push_back({each.bar->slots, false, each.bar->tune});
    last_row = each.row;
    last = each.bar;
  }
  return rows;
}

/// Everything that was played, for the jumps.
class SongPlayer {
 public:
  SongPlayer(const std::vector<WrittenSection>& sections, const SongChange& first)
      : sections_(sections), counting_(first) {}

  PlayedForm play() {
    PlayedForm result;
    for (std::size_t i = 0; i < sections_.size(); ++i) {
      SectionPlayer player;
      const bool fits = player.play(sections_[i]);
      total_ += player.played.size();
      for (const PlayedBar& each : player.played) chords_ += each.bar->slots.size();
      if (!fits || total_ > most_bars_played || chords_ > most_chords_played) return too_long(sections_[i]);
      bars_.push_back(std::move(player.played));
      written_.push_back(i);
      result.printed.sections.push_back(as_printed(sections_[i], bars_.back(), bars_.size() - 1));
      if (sections_[i].jump != Jump::none && !jump(sections_[i].jump)) return too_long(sections_[i]);
    }
    fit_recalls(result.printed.sections);
    for (std::size_t i = 0; i < bars_.size(); ++i) {
      result.sections.push_back({written_[i], sections_[written_[i]].times, rows_of(bars_[i], counting_)});
    }
    result.printed.bars_played = static_cast<int>(total_);
    return result;
  }

 private:
  static PlayedForm too_long(const WrittenSection& section) {
    PlayedForm result;
    result.too_long_at = std::max(1, section.line);
    return result;
  }

  /// @param played its bars, the last of all played so far @param index of the section as played
  [[nodiscard]] PrintedSection as_printed(const WrittenSection& written, const std::vector<PlayedBar>& played,
                                          std::size_t index) const {
    const std::size_t before = total_ - played.size();
    std::unordered_map<const WrittenBar*, int> first_at;
    for (std::size_t i = 0; i < played.size(); ++i) {
      first_at.try_emplace(played[i].bar, static_cast<int>(before + i) + 1);
    }
    PrintedSection section;
    section.name = written.name;
    section.section = index;
    section.same_as = written.recalls;
    section.has_words = written.own_words;
    section.moved = written.moved;
    section.times = written.times;
    section.jump = written.jump;
    for (const WrittenRow& row : written.rows) {
      for (const WrittenBar& bar : row.bars) {
        PrintedBar printed;
        printed.bar = first_at.at(&bar);
        printed.begins_row = &bar == row.bars.data();
        printed.opens = bar.opens;
        printed.closes = bar.closes;
        printed.ending = bar.ending;
        printed.segno = bar.segno;
        printed.fine = bar.fine;
        printed.to_coda = bar.to_coda;
        section.bars.push_back(printed);
      }
    }
    number_endings(section.bars);
    sign_whole_section(section);
    const std::string kind = heading_kind(section.name);
    if (kind == "coda" && !section.bars.empty()) section.bars.front().coda = true;
    return section;
  }

  /// An ending for several passes begins where the one before stopped, and each lasts until its repeat sign, the next
  /// ending or the end of its row.
  static void number_endings(std::vector<PrintedBar>& bars) {
    int pass = 1;
    for (std::size_t i = 0; i < bars.size(); ++i) {
      if (bars[i].opens) pass = 1;
      if (bars[i].ending == 0) continue;
      const int passes = bars[i].ending;
      bars[i].ending = pass;
      bars[i].ending_to = pass + passes - 1;
      pass += passes;
      std::size_t last = i;
      while (last + 1 < bars.size() && bars[last].closes == 0 && bars[last + 1].ending == 0 && !bars[last + 1].opens &&
             !bars[last + 1].begins_row) {
        ++last;
      }
      bars[last].ending_ends = true;
      if (bars[last].closes == 0) pass = 1;
    }
  }

  /// A section that is played twice has repeat signs, unless it has others inside.
  static void sign_whole_section(PrintedSection& section) {
    if (section.times < 2 || section.bars.size() < 2) return;
    const bool signs_inside = std::any_of(section.bars.begin(), section.bars.end(), [](const PrintedBar& bar) {
      return bar.opens || bar.closes > 0 || bar.ending > 0;
    });
    if (signs_inside || section.is_recall()) return;
    section.bars.front().opens = true;
    section.bars.back().closes = section.times;
    section.times = 1;
  }

  /// A recalled section is played as often as the signs of the one that it is like say; one that is played another
  /// number of times is printed with its own.
  void fit_recalls(std::vector<PrintedSection>& printed) const {
    std::unordered_map<std::string, std::size_t> with_chords;
    for (std::size_t i = 0; i < printed.size(); ++i) {
      PrintedSection& section = printed[i];
      if (!section.is_recall()) {
        with_chords[section.name] = i;
        continue;
      }
      const auto source = with_chords.find(section.same_as);
      if (source == with_chords.end()) continue;
      const int times_of_source = sections_[source->second].times;
      const bool signed_there = printed[source->second].times != times_of_source;
      if (!signed_there) continue;
      if (section.times == times_of_source) {
        section.times = 1;
      } else {
        section.same_as.clear();
        sign_whole_section(section);
      }
    }
  }

  /// Plays again from the beginning, or from the sign, to the end, "Fine" or "To Coda".
  bool jump(Jump kind) {
    const bool from_sign =
        kind == Jump::dal_segno || kind == Jump::dal_segno_al_fine || kind == Jump::dal_segno_al_coda;
    const bool to_fine = kind == Jump::da_capo_al_fine || kind == Jump::dal_segno_al_fine;
    const bool to_coda = kind == Jump::da_capo_al_coda || kind == Jump::dal_segno_al_coda;
    const std::size_t sections = bars_.size();
    bool playing = !from_sign || !has_sign(sections);
    for (std::size_t i = 0; i < sections; ++i) {
      std::vector<PlayedBar> again;
      bool ends = false;
      for (const PlayedBar& each : bars_[i]) {
        playing = playing || each.bar->segno;
        if (playing && !each.left_out_later) again.push_back(each);
        ends = playing && ((to_fine && each.bar->fine) || (to_coda && each.bar->to_coda));
        if (ends) break;
      }
      total_ += again.size();
      for (const PlayedBar& each : again) chords_ += each.bar->slots.size();
      if (total_ > most_bars_played || chords_ > most_chords_played) return false;
      if (!again.empty()) {
        bars_.push_back(std::move(again));
        written_.push_back(written_[i]);
      }
      if (ends) break;
    }
    return true;
  }

  [[nodiscard]] bool has_sign(std::size_t sections) const {
    for (std::size_t i = 0; i < sections; ++i) {
      for (const PlayedBar& each : bars_[i]) {
        if (each.bar->segno) return true;
      }
    }
    return false;
  }

  const std::vector<WrittenSection>& sections_;
  std::vector<std::vector<PlayedBar>> bars_;
  std::vector<std::size_t> written_;
  std::size_t total_ = 0, chords_ = 0;
  SongChange counting_;
};

}  // namespace

PlayedForm played_out(const std::vector<WrittenSection>& sections, const SongChange& first) {
  return SongPlayer(sections, first).play();
}

}  // namespace romanesca
