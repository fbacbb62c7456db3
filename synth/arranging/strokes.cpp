#include "synth/arranging/strokes.h"

#include <algorithm>
#include <span>

namespace romanesca {
namespace {

/// One bar of a row: as many steps as the style's bar has, repeated or cut in a bar of another length.
class BarGrid {
 public:
  BarGrid(const StyleRow& row, const Style& style, int bar_in_section) : style_(style) {
    const auto steps = static_cast<std::size_t>(style.steps_per_bar());
    const std::size_t bars = row.steps.size() / steps;
    steps_ = std::string_view(row.steps).substr(static_cast<std::size_t>(bar_in_section) % bars * steps, steps);
  }

  /// The strokes from @p start on, none later than @p end. A leading "-" holds what came before and is no stroke.
  [[nodiscard]] std::vector<Stroke> strokes(Beats start, Beats end, Intensity intensity, int drum) const {
    std::vector<Stroke> result;
    bool sounding = false;
    Beats at = start;
    for (std::size_t step = 0; at < end; ++step, at += style_.step_length()) {
      const char sign = steps_[step % steps_.size()];
      const Beats next = std::min(at + style_.step_length(), end);
      if (sign == '-' && sounding) result.back().end = next;
      if (sign != '-') sounding = sign != '.';
      if (sign != '-' && sign != '.') result.push_back({at, next, sign, drum, 0, intensity});
    }
    return result;
  }

  /// How long the row holds what sounded before the bar.
  [[nodiscard]] Beats carried() const {
    const std::size_t held = std::min(steps_.find_first_not_of('-'), steps_.size());
    return style_.step_length() * static_cast<std::int64_t>(held);
  }

 private:
  const Style& style_;
  std::string_view steps_;
};

class ChordStrokes {
 public:
  ChordStrokes(const StylePart& part, const Style& style, const Score& score)
      : part_(part), style_(style), score_(score) {}

  std::vector<Stroke> read() {
    for (std::size_t c = 0; c < score_.chords.size(); ++c) play(c);
    return std::move(result_);
  }

 private:
  [[nodiscard]] const ScoreBar& bar_of(std::size_t chord) const { return score_.bar_at(score_.chords[chord].start); }
  [[nodiscard]] bool is_brief(std::size_t chord) const {
    return part_.brief && score_.chords[chord].length < bar_of(chord).meter.bar_length();
  }
  /// The row that a chord is played from; null where the part rests.
  [[nodiscard]] const StyleRow* row_of(std::size_t chord) const {
    const ScoreBar& bar = bar_of(chord);
    const StylePattern& pattern = part_.pattern(bar.intensity, bar.fill);
    if (pattern.empty()) return nullptr;
    return is_brief(chord) && !part_.brief->empty() ? &part_.brief->front() : &pattern.front();
  }
  [[nodiscard]] char plain_sign() const {
    return part_.role == StyleRole::bass ? 'R' : part_.role == StyleRole::guitar ? 'D' : 'x';
  }

  void play(std::size_t c) {
    const ScoreChord& chord = score_.chords[c];
    const ScoreBar& bar = bar_of(c);
    const Beats end = chord.start + chord.length;
    const StyleRow* row = row_of(c);
    if (row == nullptr) return;
    std::vector<Stroke> own;
    if (bar.held) {
      own.push_back({chord.start, end, plain_sign(), 0, c, bar.intensity});
    } else {
      own = strokes_within(c, *row);
    }
    const bool anticipated = carried_until_ > chord.start;
    std::erase_if(own, [&](const Stroke& stroke) { return stroke.start < carried_until_; });
    if (!anticipated && !chord.held) strike_at_once(own, c);
    for (Stroke& stroke : own) {
      stroke.chord = c;
      if (stroke.sign == 'P') push(stroke, c);
      result_.push_back(stroke);
    }
  }

  [[nodiscard]] std::vector<Stroke> strokes_within(std::size_t c, const StyleRow& row) const {
    const ScoreChord& chord = score_.chords[c];
    const ScoreBar& bar = bar_of(c);
    const Beats end = chord.start + chord.length;
    if (is_brief(c)) return BarGrid(row, style_, 0).strokes(chord.start, end, bar.intensity, 0);
    const Beats bar_end = bar.start + bar.meter.bar_length();
    std::vector<Stroke> own;
    for (Stroke stroke : BarGrid(row, style_, bar.in_section).strokes(bar.start, bar_end, bar.intensity, 0)) {
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
      own.insert(own.begin(), {chord.start, until, plain_sign(), 0, c, bar_of(c).intensity});
    }
  }

  /// An anticipation: the stroke plays the next chord if that begins within a beat and the part plays there.
  void push(Stroke& stroke, std::size_t c) {
    stroke.sign = plain_sign();
    if (c + 1 == score_.chords.size()) return;
    const ScoreChord& next = score_.chords[c + 1];
    const StyleRow* row = row_of(c + 1);
    const bool near = stroke.end == next.start && next.start - stroke.start <= bar_of(c).meter.pulse_length();
    if (!near || row == nullptr || bar_of(c + 1).held || next.held) return;
    stroke.chord = c + 1;
    if (is_brief(c + 1) || next.start != bar_of(c + 1).start) return;
    const Beats carried = BarGrid(*row, style_, bar_of(c + 1).in_section).carried();
    stroke.end = std::min(stroke.end + carried, next.start + next.length);
    carried_until_ = stroke.end;
  }

  const StylePart& part_;
  const Style& style_;
  const Score& score_;
  std::vector<Stroke> result_;
  Beats carried_until_;
};

}  // namespace

std::vector<Stroke> drum_strokes(const StylePart& part, const Style& style, const Score& score) {
  std::vector<Stroke> result;
  const auto strike = [&](Beats at, int drum, Intensity intensity) {
    result.push_back({at, at + style.step_length(), 'X', drum, 0, intensity});
  };
  for (const ScoreBar& bar : score.bars) {
    const Beats end = bar.start + bar.meter.bar_length();
    const StylePattern& pattern = part.pattern(bar.intensity, bar.fill);
    if (bar.held) {
      constexpr int kick = 36;
      if (!pattern.empty() && part.mark != 0) strike(bar.start, part.mark, bar.intensity);
      if (!pattern.empty()) strike(bar.start, pattern.front().drum == kick ? kick : pattern.back().drum, bar.intensity);
      continue;
    }
    for (const StyleRow& row : pattern) {
      for (const Stroke& stroke :
           BarGrid(row, style, bar.in_section).strokes(bar.start, end, bar.intensity, row.drum)) {
        if (stroke.start >= bar.silent_until) result.push_back(stroke);
      }
    }
    const bool marked = bar.section_start && bar.intensity == Intensity::full && bar.start > Beats(0);
    if (marked && part.mark != 0) strike(bar.start, part.mark, bar.intensity);
  }
  return result;
}

std::vector<Stroke> chord_strokes(const StylePart& part, const Style& style, const Score& score) {
  return ChordStrokes(part, style, score).read();
}

}  // namespace romanesca
