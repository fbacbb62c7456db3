#include "synth/arranging/tune_part.h"

#include <algorithm>
#include <tuple>

namespace romanesca {
namespace {

constexpr std::uint8_t on_first_beat = 88, elsewhere = 80;

/// A stretch of bars of the score that are bars of the song one after the other.
struct Stretch {
  int round = 0;
  Beats from, until;  ///< in the score
  Beats song_from;    ///< where it begins in the song
};

std::vector<Stretch> stretches_of(const Score& score, const MeterMap& song) {
  std::vector<Stretch> stretches;
  int next_bar = 0;
  for (const ScoreBar& bar : score.bars) {
    if (bar.song_bar == 0 || bar.drums_alone) {
      next_bar = 0;
      continue;
    }
    const Beats end = bar.start + bar.meter.bar_length();
    if (bar.song_bar == next_bar && stretches.back().round == bar.round) {
      stretches.back().until = end;
    } else {
      stretches.push_back({bar.round, bar.start, end, song.start_of(bar.song_bar)});
    }
    next_bar = bar.song_bar + 1;
  }
  return stretches;
}

}  // namespace

Arrangement with_tune(Arrangement arrangement, const Score& score, std::span<const Tune> rounds, const TunePart& part,
                      bool goes_round, const Groove& groove) {
  const auto index = static_cast<std::uint8_t>(arrangement.parts.size());
  arrangement.parts.push_back({part.name, part.instrument, part.gain_db, false});
  const Beats before = arrangement.length - score.length();  // the count-in
  std::vector<PlayedNote> notes;
  for (const Stretch& stretch : stretches_of(score, score.song_meters)) {
    for (const TuneNote& note : rounds[static_cast<std::size_t>(stretch.round)].notes) {
      const bool upbeat = note.start < Beats(0) && stretch.song_from == Beats(0);
      const Beats at = stretch.from + note.start - stretch.song_from;
      if ((at < stretch.from && !upbeat) || at >= stretch.until) continue;
      Beats start = before + at;
      if (start < Beats(0)) {
        if (!goes_round) continue;
        start += arrangement.length;
      }
      const Beats length = std::min(note.length, stretch.until - at);
      const bool accent = at >= Beats(0) && score.bar_at(at).start == at;
      notes.push_back({{start, length, static_cast<std::uint8_t>(std::clamp(note.pitch.midi(), 0, 127)),
                        accent ? on_first_beat : elsewhere, index},
                       start});
    }
  }
  const std::vector<NoteEvent> events = with_groove(std::move(notes), groove, arrangement.length);
  arrangement.events.insert(arrangement.events.end(), events.begin(), events.end());
  std::sort(arrangement.events.begin(), arrangement.events.end(), [](const NoteEvent& a, const NoteEvent& b) {
    return std::tie(a.start, a.part, a.midi) < std::tie(b.start, b.part, b.midi);
  });
  return arrangement;
}

}  // namespace romanesca
