// Speed from text to sound. Run through tests/benchmarks/run; figures stand in DEVELOPERS.md.
#include <benchmark/benchmark.h>

#include <array>

#include "cli/formats/paper/chart_drawing.h"
#include "cli/formats/paper/paint.h"
#include "progressions/pattern_match.h"
#include "synth/arranging/arranger.h"
#include "synth/files/true_peak_meter.h"
#include "synth/sound/performer.h"
#include "synth/sound/track_renderer.h"
#include "theory/analysis/analysis.h"
#include "theory/analysis/remarks.h"
#include "theory/harmony/harmoniser.h"
#include "theory/songs/progression_text.h"
#include "theory/voicing/voice_leading.h"

namespace romanesca {
namespace {

/// A song of that many bars with inversions, sevenths and an applied chord.
std::string song(std::int64_t bars) {
  const char* bar[] = {"G", "D/F#", "Em7", "C", "Am7 D7", "B7", "Em", "C D"};
  std::string text = "|";
  for (std::int64_t i = 0; i < bars; ++i) text += std::string(" ") + bar[i % 8] + " |";
  return text;
}

void parse(benchmark::State& state) {
  const std::string text = song(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(parse_progression(text, "b"));
  state.SetItemsProcessed(state.iterations() * state.range(0));
}
BENCHMARK(parse)->Arg(32)->Arg(320)->Arg(3200);

void analyse_bars(benchmark::State& state) {
  const Progression progression = *parse_progression(song(state.range(0)), "b");
  for (auto _ : state) {
    const Analysis analysis = analyse(progression);
    benchmark::DoNotOptimize(remarks_on(analysis));
    benchmark::DoNotOptimize(match_patterns(analysis));
  }
  state.SetItemsProcessed(state.iterations() * state.range(0));
}
BENCHMARK(analyse_bars)->Arg(32)->Arg(320)->Arg(3200);

void voice(benchmark::State& state) {
  std::vector<Chord> chords;
  for (const TimedChord& timed : timeline(*parse_progression(song(state.range(0)), "b"), {}).chords)
    chords.push_back(*timed.chord);
  for (auto _ : state) benchmark::DoNotOptimize(lead_voices(chords));
  state.SetItemsProcessed(state.iterations() * state.range(0));
}
BENCHMARK(voice)->Arg(32)->Arg(320)->Arg(3200);

/// Three choices of chords, with applied and borrowed ones, for a tune in eighths of as many bars.
void harmonise_bars(benchmark::State& state) {
  Tune tune;
  for (int i = 0; i < 8 * static_cast<int>(state.range(0)); ++i) {
    constexpr std::array<int, 8> degrees{0, 2, 4, 3, 2, 5, 6, 1};
    const int letter = (degrees[static_cast<std::size_t>(i % 8)] + i / 32) % 7;
    tune.notes.push_back({Beats(i, 2), Beats(1, 2), Pitch(PitchClass::of(letter, 0), 4)});
  }
  for (auto _ : state) benchmark::DoNotOptimize(harmonise(tune, MeterMap()));
}
BENCHMARK(harmonise_bars)->Arg(16)->Arg(64)->Unit(benchmark::kMillisecond);

/// A chart from its text to PDF; the argument is bars, and 1 for a grand staff.
void chart_to_pdf(benchmark::State& state) {
  const std::string text = song(state.range(0));
  PaperSettings paper;
  if (state.range(1) == 1) paper.staves = StaffKind::grand;
  for (auto _ : state) {
    NamedProgression source;
    source.progression = *parse_progression(text, "b");
    const Placement placed = *place_in_key(std::move(source), std::nullopt);
    const Hands hands = hands_for(placed.analysis.timeline, {}, placed.analysis.keys.by_bar);
    benchmark::DoNotOptimize(paint_pdf(chart_drawing(placed, hands, paper)));
  }
}
BENCHMARK(chart_to_pdf)->Args({16, 0})->Args({16, 1})->Unit(benchmark::kMillisecond);

Performance four_parts(int bars) {
  const Arrangement arrangement = arrange(timeline(*parse_progression(song(bars), "b"), {}), *style_named("pop"));
  Performance performance;
  performance.events = arrangement.events;
  performance.length = arrangement.length;
  performance.tempo = TempoMap(80);
  performance.parts = arrangement.parts;
  return performance;
}

/// Synthesis alone: one pass, no loudness, no file. times_real_time is the figure to look at.
void synthesise(benchmark::State& state) {
  const Performance performance = four_parts(60);
  std::vector<float> left(1024), right(1024);
  std::int64_t frames = 0;
  for (auto _ : state) {
    Performer performer(performance, 48000);
    for (std::int64_t at = 0; at < performer.length_frames(); at += 1024)
      performer.render({left.data(), right.data(), 1024});
    frames += performer.length_frames();
  }
  state.counters["times_real_time"] =
      benchmark::Counter(static_cast<double>(frames) / 48000, benchmark::Counter::kIsRate);
}
BENCHMARK(synthesise)->Unit(benchmark::kMillisecond);

class Nowhere final : public FrameSink {
 public:
  void write(const StereoBlock& block) override { benchmark::DoNotOptimize(block.left); }
};
class Patience final : public Progress {
 public:
  bool at(double /*fraction*/) override { return true; }
};

/// Three minutes of four parts from notes to finished samples: loudness, limiter and true peak included.
void render_three_minutes(benchmark::State& state) {
  const Performance performance = four_parts(60);
  for (auto _ : state) {
    Performer performer(performance, {48000, true, nullptr});
    MemoryStore store;
    EburPeakMeter meter(48000);
    Nowhere sink;
    Patience patience;
    benchmark::DoNotOptimize(render_track(performer, {}, store, meter, sink, patience));
  }
}
BENCHMARK(render_three_minutes)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace romanesca
