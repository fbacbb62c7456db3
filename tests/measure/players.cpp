// Measures how the players of each style play, from the arranger's notes alone: `measure_players [SEED]`
//
//   drums, comp, band, bass  percentage of bars 5 to 32 whose onsets differ from those four bars before, where chords
//   and
//                            section are the same: drums and percussion; the parts that play chords, without and with
//                            the keys; the bass
//   skeleton                 percentage of the strokes of kick, snare, side stick and clap on a beat, which most bars
//                            have
//   seed                     whether the next seed plays other notes, exactly on the grid
//   SD, lag 1, lag 4         deviations from the grid at --human 100, mean of the parts: standard deviation in ms,
//                            correlation of a stroke's with the next one's and with the fourth one's after it
//
// `measure_players loudness`: how much louder a chorus and a bridge are than a verse, without the keys, as in a
// finished file but for its gain and limiter, and how many parts play in each.
#include <fmt/format.h>

#include <cstdlib>
#include <string_view>

#include "tests/measure/playing.h"
#include "tests/measure/section_loudness.h"

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

void print_loudness() {
  fmt::print("{:<20}{:>8}{:>8}   {}\n", "LU beside the verse", "chorus", "bridge", "parts in verse, chorus, bridge");
  for (const Style& style : styles()) {
    auto song = *parse_progression(verse_chorus_bridge, "song");
    song.written_meter = style.meter;
    const std::vector<Timeline> once{timeline(song, {})};
    Arrangement piece =
        arrange(plan_form(once, song.sections, style.usual_bpm, {}), style, {style.usual_bpm, 30, std::nullopt, 1});
    for (Part& part : piece.parts) part.muted = part.name == students_part;
    const Performance performance{std::move(piece.events), std::move(piece.parts),
                                  TempoMap(style.usual_bpm * style.meter.pulse_length().quarters()), piece.length};
    const auto lufs = section_loudness_lufs(performance, 3, 24000);
    const auto players = section_players(performance, 3);
    fmt::print("{:<20}{:>8.1f}{:>8.1f}   {} {} {}\n", style.id, lufs[1] - lufs[0], lufs[2] - lufs[0], players[0],
               players[1], players[2]);
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
