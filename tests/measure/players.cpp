// Measures how the players of each style play: `measure_players [SEED]`, from the arranger's notes alone; with
// `measure_players loudness` the loudness of eight bars in LUFS, the keys left out, before mastering: of a soft, a
// medium and a full section, and how many parts play in each.
//
//   drums, comp, band, bass  percentage of bars 5 to 32 whose onsets differ from those four bars before, where chords
//   and
//                            section are the same: drums and percussion; the parts that play chords, without and with
//                            the keys; the bass
//   skeleton                 percentage of the strokes of kick, snare, side stick and clap on a beat, which most bars
//   have seed                     whether the next seed plays other notes, exactly on the grid SD, lag 1, lag 4 of the
//   deviations from the grid at --human 100, mean of the parts: standard deviation in ms,
//                            correlation of a stroke's with the next one's and with the fourth one's after it
#include <fmt/format.h>

#include <cstdlib>
#include <string_view>

#include "synth/sound/loudness.h"
#include "synth/sound/performer.h"
#include "tests/measure/playing.h"

using namespace romanesca;
using namespace romanesca::test;

namespace {

/// The mean over the parts with enough strokes.
Deviations mean_deviations(const Style& style, std::uint32_t seed) {
  const Arrangement exact = played(style, seed, 0);
  const Arrangement human = played(style, seed, 100);
  Deviations sum;
  int parts = 0;
  for (std::size_t part = 0; part < exact.parts.size(); ++part) {
    const auto found = deviations(exact, human, part, quarter_ms(style));
    if (!found) continue;
    sum.sd_ms += found->sd_ms;
    sum.lag_1 += found->lag_1;
    sum.lag_4 += found->lag_4;
    ++parts;
  }
  const double count = std::max(1, parts);
  return {0, sum.sd_ms / count, sum.lag_1 / count, sum.lag_4 / count};
}

struct Heard {
  double lufs = 0;
  std::size_t parts = 0;
};

Heard heard(const Style& style, Intensity intensity) {
  constexpr double sample_rate_hz = 24000;
  auto song = *parse_progression("| C | Am | F | G |", "four bars");
  song.written_meter = style.meter;
  const std::vector<Timeline> rounds(2, timeline(song, {}));
  FormRequest form;
  form.intensity = intensity;
  Arrangement piece =
      arrange(plan_form(rounds, {}, style.usual_bpm, form), style, {style.usual_bpm, 30, std::nullopt, 1});
  std::set<int> playing;
  for (const NoteEvent& event : piece.events) {
    if (piece.parts[event.part].name != students_part) playing.insert(event.part);
  }
  for (Part& part : piece.parts) part.muted = part.name == students_part;
  const Performance performance{std::move(piece.events), std::move(piece.parts),
                                TempoMap(style.usual_bpm * style.meter.pulse_length().quarters()), piece.length};
  Performer performer(performance, {sample_rate_hz, true, nullptr});
  std::vector<float> left(static_cast<std::size_t>(performer.lead_in_frames() + performer.length_frames()));
  std::vector<float> right(left.size());
  performer.render({left.data(), right.data(), left.size()});
  Loudness loudness(sample_rate_hz);
  const auto skipped = static_cast<std::size_t>(performer.lead_in_frames());
  loudness.add({left.data() + skipped, right.data() + skipped, left.size() - skipped});
  return {loudness.integrated_lufs(), playing.size()};
}

void print_loudness() {
  fmt::print("{:<20}{:>14}{:>14}{:>14}{:>14}\n", "style", "soft", "medium", "full", "full - medium");
  for (const Style& style : styles()) {
    const Heard soft = heard(style, Intensity::soft);
    const Heard medium = heard(style, Intensity::medium);
    const Heard full = heard(style, Intensity::full);
    fmt::print("{:<20}{:>9.1f} ({:>2}){:>9.1f} ({:>2}){:>9.1f} ({:>2}){:>14.1f}\n", style.id, soft.lufs, soft.parts,
               medium.lufs, medium.parts, full.lufs, full.parts, full.lufs - medium.lufs);
  }
}

}  // namespace

int main(int count, char** arguments) {
  if (count > 1 && std::string_view(arguments[1]) == "loudness") {
    print_loudness();
    return 0;
  }
  const auto seed = static_cast<std::uint32_t>(count > 1 ? std::atoi(arguments[1]) : 1);
  fmt::print("{:<20}{:>7}{:>7}{:>7}{:>7}{:>10}{:>6}{:>8}{:>7}{:>7}\n", "style", "drums", "comp", "band", "bass",
             "skeleton", "seed", "SD ms", "lag 1", "lag 4");
  for (const Style& style : styles()) {
    const Arrangement piece = played(style, seed, 0);
    const Onsets drums = onsets(piece, style, is_drums);
    const Onsets comp =
        onsets(piece, style, [](const Part& part) { return is_comping(part) && part.name != students_part; });
    const Onsets bass = onsets(piece, style, [](const Part& part) { return part.name == "bass"; });
    const Deviations human = mean_deviations(style, seed);
    fmt::print("{:<20}{:>7.0f}{:>7.0f}{:>7.0f}{:>7.0f}{:>10.0f}{:>6}{:>8.1f}{:>7.2f}{:>7.2f}\n", style.id,
               percent_changed(drums), percent_changed(comp), percent_changed(onsets(piece, style, is_comping)),
               percent_changed(bass), percent_of_skeleton(drums, style),
               played(style, seed + 1, 0).events == piece.events ? "same" : "new", human.sd_ms, human.lag_1,
               human.lag_4);
  }
}
