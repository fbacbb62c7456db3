// What comes out of the loudspeaker: does a listener who knows nothing of the chart hear its chords?
#include <gtest/gtest.h>

#include "cli/backing_track.h"
#include "synth/sound/performer.h"
#include "tests/measure/chroma.h"
#include "theory/progression_text.h"

namespace romanesca {
namespace {

constexpr double sample_rate_hz = 24000;

std::vector<float> rendered(const Performance& performance) {
  Performer performer(performance, {sample_rate_hz, true, nullptr});
  std::vector<float> left, right;
  const std::int64_t frames = performer.lead_in_frames() + performer.length_frames();
  left.resize(static_cast<std::size_t>(frames));
  right.resize(left.size());
  performer.render({left.data(), right.data(), left.size()});
  for (std::size_t i = 0; i < left.size(); ++i) left[i] += right[i];
  left.erase(left.begin(), left.begin() + performer.lead_in_frames());
  return left;
}

TEST(StyleSound, EveryStyleTellsTheChords) {
  for (const Style& style : styles()) {
    int right = 0;
    int all = 0;
    for (const char* text : {"| C | Am | F | G |", "| Fm | Bb | Eb | Cm |", "| E C#m | A B |"}) {
      NamedProgression source{*parse_progression(text, "t"), "t", std::nullopt};
      source.progression.written_meter = style.meter;
      BandRequest band;
      band.style = style.id;
      const PlacedProgression placed = place(source, std::nullopt);
      const BackingTrack track = arrange_backing(placed, band);
      const Performance& performance = track.song.performance;
      const std::vector<float> sound = rendered(performance);
      for (const TimedChord& timed : placed.analysis.timeline.chords) {
        const auto from = static_cast<std::size_t>(performance.tempo.frame_at(timed.start, sample_rate_hz));
        const auto to =
            static_cast<std::size_t>(performance.tempo.frame_at(timed.start + timed.length, sample_rate_hz));
        const test::HeardTriad heard =
            test::heard_triad(std::span<const float>(sound).subspan(from, to - from), sample_rate_hz);
        right += heard == test::HeardTriad{timed.chord->root.semitone(), timed.chord->type.is_minor()} ? 1 : 0;
        ++all;
      }
    }
    EXPECT_GE(right, 0.95 * all) << style.id << " " << right << " of " << all;
  }
}

}  // namespace
}  // namespace romanesca
