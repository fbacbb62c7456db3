#include "synth/arranging/strokes.h"

#include <algorithm>
#include <string_view>

#include "synth/arranging/bar_rows.h"
#include "synth/arranging/drum_names.h"

namespace romanesca {
namespace {

/// One bar of a row: as many steps as the style's bar has, repeated or cut in a bar of another length.
class BarGrid {
 public:
  BarGrid(std::string_view signs, Beats step) : signs_(signs), step_(step) {}

  /// The strokes from @p start on, none later than @p end. A leading "-" holds what came before and is no stroke.
  [[nodiscard]] std::vector<Stroke> strokes(Beats start, Beats end, const ScoreBar& bar, int drum) const {
    std::vector<Stroke> result;
    bool sounding = false;
    Beats at = start;
    for (std::size_t step = 0; at < end; ++step, at += step_) {
      const char sign = signs_[step % signs_.size()];
      const Beats next = std::min(at + step_, end);
      if (sign == '-' && sounding) result.back().end = next;
      if (sign != '-') sounding = sign != '.';
      if (sign != '-' && sign != '.') result.push_back({at, next, sign, drum, 0, bar.intensity, bar.leads_up});
    }
    return result;
  }

  /// How long the row holds what sounded before the bar.
  [[nodiscard]] Beats carried() const {
    const std::size_t held = std::min(signs_.find_first_not_of('-'), signs_.size());
    return step_ * static_cast<std::int64_t>(held);
  }

 private:
  std::string_view signs_;
  Beats step_;
};

class ChordStrokes {
 public:
  explicit ChordStrokes(const PartPlaying& playing)
      : part_(playing.part),
        step_(playing.style.step_length()),
        score_(playing.score),
        seed_(playing.seed),
        rows_(rows_of_bars(part_, playing.style, score_, playing.seed, playing.number)) {
    if (!part_.brief || part_.brief->empty()) return;
    const std::uint32_t number = playing.number;
    for (std::uint32_t c = 0; c < score_.chords.size(); ++c) {
      brief_.push_back(is_brief(c) ? brief_row(part_.brief->front(), playing.style, playing.seed, 64 * c + number)
                                   : std::string());
    }
  }

  std::vector<Stroke> read() {
    for (std::size_t c = 0; c < score_.chords.size(); ++c) play(c);
    return std::move(result_);
  }

 private:
  [[nodiscard]] std::size_t bar_index(std::size_t chord) const {
    return static_cast<std::size_t>(score_.meters.bar_at(score_.chords[chord].start)) - 1;
  }
  [[nodiscard]] const ScoreBar& bar_of(std::size_t chord) const { return score_.bars[bar_index(chord)]; }
  [[nodiscard]] bool is_brief(std::size_t chord) const {
    return part_.brief && score_.chords[chord].length < bar_of(chord).meter.bar_length();
  }
  /// The signs that a chord is played from; empty where the part rests.
  [[nodiscard]] std::string_view row_of(std::size_t chord) const {
    const std::vector<BarRow>& rows = rows_[bar_index(chord)];
    if (rows.empty()) return {};
    return is_brief(chord) && !brief_.empty() ? std::string_view(brief_[chord]) : rows.front().signs;
  }
  /// Before a louder section all pitched parts stop after two beats, once in three times, and leave the bar's end to
  /// the drums; not where the chord changes within the bar.
  [[nodiscard]] bool has_break(std::size_t c) const {
    const ScoreBar& bar = bar_of(c);
    if (!bar.leads_up || bar.meter.pulses() < 3 || score_.chords[c].length < bar.meter.bar_length()) return false;
    return Chance(seed_ + 4).below(3, static_cast<std::uint32_t>(bar_index(c)), 0) == 0;
  }
  [[nodiscard]] char plain_sign() const {
    return part_.role == StyleRole::bass ? 'R' : part_.role == StyleRole::guitar ? 'D' : 'x';
  }

  void play(std::size_t c) {
    const ScoreChord& chord = score_.chords[c];
    const ScoreBar& bar = bar_of(c);
    const Beats end = chord.start + chord.length;
    const std::string_view row = row_of(c);
    if (row.empty()) return;
    std::vector<Stroke> own;
    if (bar.held) {
      const Beats until = bar.cut_short ? std::min(end, chord.start + bar.meter.pulse_length() / 2) : end;
      own.push_back({chord.start, until, plain_sign(), 0, c, bar.intensity, false});
    } else {
      own = strokes_within(c, row);
    }
    const bool anticipated = carried_until_ > chord.start;
    std::erase_if(own, [&](const Stroke& stroke) { return stroke.start < carried_until_; });
    if (!anticipated && !chord.held) strike_at_once(own, c);
    if (has_break(c)) {
      const Beats from = chord.start + bar.meter.pulse_length() * 2;
      std::erase_if(own, [&](const Stroke& stroke) { return stroke.start >= from; });
      for (Stroke& stroke : own) stroke.end = std::min(stroke.end, from);
    }
    for (Stroke& stroke : own) {
      stroke.chord = c;
      if (stroke.sign == 'P') push(stroke, c);
      result_.push_back(stroke);
    }
  }

  [[nodiscard]] std::vector<Stroke> strokes_within(std::size_t c, std::string_view row) const {
    const ScoreChord& chord = score_.chords[c];
    const ScoreBar& bar = bar_of(c);
    const Beats end = chord.start + chord.length;
    if (is_brief(c)) return BarGrid(row, step_).strokes(chord.start, end, bar, 0);
    const Beats bar_end = bar.start + bar.meter.bar_length();
    std::vector<Stroke> own;
    for (Stroke stroke : BarGrid(row, step_).strokes(bar.start, bar_end, bar, 0)) {
      if (stroke.end <= chord.start || stroke.start >= end) continue;
      const bool taken_over = stroke.start < chord.start;
      if (taken_over && part_.role == StyleRole::bass) stroke.sign = 'R';
      if (taken_over && stroke.sign == 'P') stroke.sign = plain_sign();
      stroke.start = std::max(stroke.start, chord.start);
      stroke.end = std::min(stroke.end, end);
      own.push_back(stroke);
    }
    return own;
  }

  void strike_at_once(std::vector<Stroke>& own, std::size_t c) const {
    const ScoreChord& chord = score_.chords[c];
    const bool struck = !own.empty() && own.front().start == chord.start;
    if (part_.role == StyleRole::bass && struck) {
      own.front().sign = 'R';
    } else if (part_.role == StyleRole::bass || own.empty()) {
      const Beats until = own.empty() ? chord.start + chord.length : own.front().start;
      own.insert(own.begin(), {chord.start, until, plain_sign(), 0, c, bar_of(c).intensity, bar_of(c).leads_up});
    }
  }

  /// An anticipation: the stroke plays the next chord if that begins within a beat and the part plays there.
  void push(Stroke& stroke, std::size_t c) {
    stroke.sign = plain_sign();
    if (c + 1 == score_.chords.size()) return;
    const ScoreChord& next = score_.chords[c + 1];
    const std::string_view row = row_of(c + 1);
    const bool near = stroke.end == next.start && next.start - stroke.start <= bar_of(c).meter.pulse_length();
    if (!near || row.empty() || bar_of(c + 1).held || next.held) return;
    stroke.chord = c + 1;
    if (is_brief(c + 1) || next.start != bar_of(c + 1).start) return;
    const Beats carried = BarGrid(row, step_).carried();
    stroke.end = std::min(stroke.end + carried, next.start + next.length);
    carried_until_ = stroke.end;
  }

  const StylePart& part_;
  Beats step_;
  const Score& score_;
  std::uint32_t seed_;
  std::vector<std::vector<BarRow>> rows_;
  std::vector<std::string> brief_;  ///< of each chord, if the part has such rows
  std::vector<Stroke> result_;
  Beats carried_until_;
};

class DrumStrokes {
 public:
  explicit DrumStrokes(const PartPlaying& playing)
      : playing_(playing),
        rows_(rows_of_bars(playing.part, playing.style, playing.score, playing.seed, playing.number)),
        fills_(playing.part.name == "drums" ? fills_of_bars(playing.part, playing.style, playing.score, playing.seed)
                                            : std::vector<const DrumFill*>(playing.score.bars.size(), nullptr)) {}

  std::vector<Stroke> read() {
    for (std::size_t i = 0; i < playing_.score.bars.size(); ++i) {
      const ScoreBar& bar = playing_.score.bars[i];
      bar_begins_ = result_.size();
      if (bar.held) {
        play_held(bar, rows_[i]);
      } else if (!rows_[i].empty()) {
        play_grid(bar, rows_[i], fills_[i]);
      }
      if (!bar.held && i > 0) mark(bar, fills_[i - 1]);
    }
    return std::move(result_);
  }

 private:
  void strike(const ScoreBar& bar, int drum) {
    result_.push_back({bar.start, bar.start + playing_.style.step_length(), 'X', drum, 0, bar.intensity, false});
  }

  void play_held(const ScoreBar& bar, const std::vector<BarRow>& rows) {
    if (rows.empty()) return;
    if (playing_.part.mark != 0) strike(bar, playing_.part.mark);
    const bool kick = rows.front().drum == drums::kick;
    strike(bar, kick ? drums::kick : rows.back().drum);
  }

  /// The grid up to where the fill begins, then the fill.
  void play_grid(const ScoreBar& bar, const std::vector<BarRow>& rows, const DrumFill* fill) {
    const Beats end = bar.start + bar.meter.bar_length();
    const Beats pulse = bar.meter.pulse_length();
    const Beats filled = fill != nullptr ? std::max(bar.start, end - pulse * fill->pulses) : end;
    for (const BarRow& row : rows) {
      add(BarGrid(row.signs, playing_.style.step_length()).strokes(bar.start, end, bar, row.drum), bar.silent_until,
          filled);
    }
    if (fill == nullptr) return;
    for (const StyleRow& row : fill->rows) {
      const BarGrid grid(row.ways.front(), pulse / fill->steps_per_pulse);
      add(grid.strokes(end - pulse * fill->pulses, end, bar, row.drum), std::max(bar.silent_until, filled), end);
    }
  }

  /// Strokes from @p from on and before @p to. An open hi-hat takes the place of a closed one.
  void add(const std::vector<Stroke>& strokes, Beats from, Beats to) {
    for (const Stroke& stroke : strokes) {
      if (stroke.start < from || stroke.start >= to) continue;
      if (stroke.drum == drums::open_hat) {
        const auto closed = [&](const Stroke& other) {
          return other.drum == drums::hat && other.start == stroke.start;
        };
        const auto bar = result_.begin() + static_cast<std::ptrdiff_t>(bar_begins_);
        result_.erase(std::remove_if(bar, result_.end(), closed), result_.end());
      }
      result_.push_back(stroke);
    }
  }

  /// Where a full section begins, and after a fill of more than two beats.
  void mark(const ScoreBar& bar, const DrumFill* before) {
    const bool full = bar.section_start && bar.intensity == Intensity::full;
    const bool filled = before != nullptr && before->pulses > 2 && bar.intensity != Intensity::soft;
    if ((full || filled) && playing_.part.mark != 0) strike(bar, playing_.part.mark);
  }

  const PartPlaying& playing_;
  std::vector<std::vector<BarRow>> rows_;
  std::vector<const DrumFill*> fills_;
  std::vector<Stroke> result_;
  std::size_t bar_begins_ = 0;  ///< the first stroke of the present bar
};

}  // namespace

std::vector<Stroke> drum_strokes(const PartPlaying& playing) { return DrumStrokes(playing).read(); }

std::vector<Stroke> chord_strokes(const PartPlaying& playing) { return ChordStrokes(playing).read(); }

}  // namespace romanesca
