// Measures the rendered sound: are the chords of the chart recognisable in it?
#include <gtest/gtest.h>

#include <cmath>

#include "cli/studio/backing_track.h"
#include "synth/files/soundfont_player.h"
#include "synth/sound/performer.h"
#include "tests/measure/chroma.h"
#include "tests/measure/sine_soundfont.h"
#include "tests/sweep.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

constexpr double sample_rate_hz = 24000;

/// One round of a loop, both channels added.
std::vector<float> rendered(SoundSource& source) {
  std::vector<float> left, right;
  const std::int64_t frames = source.lead_in_frames() + source.length_frames();
  left.resize(static_cast<std::size_t>(frames));
  right.resize(left.size());
  source.render({left.data(), right.data(), left.size()});
  for (std::size_t i = 0; i < left.size(); ++i) left[i] += right[i];
  left.erase(left.begin(), left.begin() + source.lead_in_frames());
  return left;
}

Placement placed_in(const Meter& meter, const char* text) {
  NamedProgression source{*parse_progression(text, "t"), "t", std::nullopt};
  source.progression.written_meter = meter;
  return *place_in_key(std::move(source), std::nullopt);
}

BackingTrack track_of(const Placement& placed, const Style& style, const std::vector<std::string>& muted = {}) {
  BandRequest band;
  band.style = style.id;
  band.mute = muted;
  return *arrange_backing(placed, band);
}

// Without drums, whose noise lies among the chords. Where players come in early with the next chord, or walk, a chord
// or two of the twelve may be taken for another.
TEST(StyleSound, ChordsAreRecognisableInEveryStyle) {
  int right_in_all = 0;
  int chords = 0;
  for (const Style& style : test::tried(std::vector<Style>(styles().begin(), styles().end()))) {
    int right = 0;
    int all = 0;
    for (const char* text : {"| C | Am | F | G |", "| Fm | Bb | Eb | Cm |", "| E C#m | A B |"}) {
      const Placement placed = placed_in(style.meter, text);
      const BackingTrack track = track_of(placed, style, {"drums"});
      const Performance& performance = track.song.performance;
      Performer performer(performance, {sample_rate_hz, true, nullptr});
      const std::vector<float> sound = rendered(performer);
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
    EXPECT_GE(right, 0.75 * all) << style.id << " " << right << " of " << all;
    right_in_all += right;
    chords += all;
  }
  EXPECT_GE(right_in_all, 0.95 * chords);
}

/// The samples of some fonts have a DC offset, here a quarter of full scale: none of it is left in any style.
TEST(StyleSound, ASoundFontsDcOffsetIsRemoved) {
  const test::FontFile font(test::sine_font(8000));
  for (const Style& style : test::tried(std::vector<Style>(styles().begin(), styles().end()), 4)) {
    const BackingTrack track = track_of(placed_in(style.meter, "| C | F |"), style);
    SoundFontPlayer player(track.song.performance, font.path, {sample_rate_hz, true});
    const std::vector<float> sound = rendered(player);
    double sum = 0, loudest = 0;
    for (const float sample : sound) {
      sum += static_cast<double>(sample);
      loudest = std::max(loudest, std::abs(static_cast<double>(sample)));
    }
    EXPECT_LT(std::abs(sum / static_cast<double>(sound.size())), 0.001) << style.id;
    EXPECT_GT(loudest, 0.05) << style.id << " is silent";
  }
}

}  // namespace
}  // namespace romanesca
