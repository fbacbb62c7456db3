#include "cli/studio/recording_tune.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "theory/harmony/take_to_song.h"
#include "theory/songs/doubtful_bars.h"

namespace romanesca {
namespace {

constexpr std::size_t fewest_notes = 3;
constexpr double least_clear_share = 0.5;

/// The bars, from 1, of notes that are not sure. Those of the upbeat count as in bar 1.
std::vector<int> doubtful_bars_of(const RecordedTune& tune) {
  const double bar = tune.beat.meter.bar_length().quarters();
  std::set<int> bars;
  for (std::size_t i = 0; i < tune.heard.notes.size(); ++i) {
    if (tune.heard.notes[i].sure) continue;
    constexpr double early = 0.1;  // quarters
    const int number = static_cast<int>(std::floor((tune.beat.notes[i].start + early) / bar)) + 1;
    bars.insert(std::max(1, number - tune.song.bars_before));
  }
  return {bars.begin(), bars.end()};
}

/// Names the doubtful bars in the comments of their rows.
void mark(Progression& song, const std::vector<int>& doubtful) {
  int first = 1;
  for (Section& section : song.sections) {
    for (Row& row : section.rows) {
      const int end = first + static_cast<int>(row.bars.size());
      std::vector<int> here;
      std::copy_if(doubtful.begin(), doubtful.end(), std::back_inserter(here),
                   [&](int bar) { return bar >= first && bar < end; });
      if (row.comment.empty()) row.comment = doubt_comment(here);
      first = end;
    }
  }
}

}  // namespace

Result<RecordedTune> tune_of_recording(const std::vector<float>& sound, const ChartRequest& request) {
  RecordedTune tune;
  tune.heard = notes_of_voice(sound);
  if (tune.heard.heard_s == 0) {
    return Failure(ExitStatus::wrong_input, "the recording is silent",
                   "check the microphone, and that nothing has muted it");
  }
  if (tune.heard.notes.size() < fewest_notes || tune.heard.clear_s < least_clear_share * tune.heard.heard_s) {
    return Failure(ExitStatus::wrong_input, "no tune of one voice can be heard in the recording",
                   "sing or play one note at a time, near the microphone and without a backing; for chords leave "
                   "--tune out");
  }
  tune.beat = find_tune_beat(
      tune.heard.notes, {request.tempo_bpm, request.meter, request.first_line_s, request.tempo_factor, request.shift});
  TakeFacts facts;
  facts.title = request.title;
  facts.meter = tune.beat.meter;
  if (request.key) facts.key = Key{request.key->tonic, request.key->mode.value_or(Mode::major)};
  facts.quarters_per_minute = tune.beat.tempo_bpm * tune.beat.meter.pulse_length().quarters();
  auto song = song_of_take(tune.beat.notes, facts);
  if (!song) return Failure(ExitStatus::wrong_input, song.error().message, song.error().hint);
  tune.song = std::move(*song);
  tune.doubtful = doubtful_bars_of(tune);
  mark(tune.song.progression, tune.doubtful);
  return tune;
}

}  // namespace romanesca
