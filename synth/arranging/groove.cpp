#include "synth/arranging/groove.h"

#include <algorithm>
#include <cmath>
#include <span>
#include <tuple>

namespace romanesca {
namespace {

constexpr double human_sd_s = 0.015;  // at 100 percent
constexpr double most_sd = 2;         // no deviation is more standard deviations than that
constexpr int most_human_velocity = 10;
constexpr int full_lean_percent = 30;
constexpr double shared_variance = 0.4;  // what the players have in common

Beats on_grid(Beats at) { return {whole_times(at * (2 * groove_ticks) + Beats(1), Beats(2)), groove_ticks}; }

std::uint32_t tick_of(Beats at) {
  return static_cast<std::uint32_t>(std::lround(on_grid(at).quarters() * static_cast<double>(groove_ticks)));
}

/// One stroke of a part and how many ticks late it comes.
struct StrokeShift {
  std::uint8_t part;
  Beats stroke;
  int ticks;
};

/// Noise with a spectrum near 1/f, of about one standard deviation: the sum of random numbers of which one is drawn
/// anew at every step, one at every second, one at every fourth and so on (the algorithm of Voss, as described by
/// Gardner, "White and brown music, fractal curves and one-over-f fluctuations", Scientific American, April 1978; from
/// memory).
/// @param series tells one series from another
double pink_noise(const Chance& chance, std::uint32_t index, std::uint32_t series) {
  constexpr std::uint32_t octaves = 6;
  constexpr int steps = 1001;
  constexpr double sd_of_uniform = 0.57735;  // of numbers between -1 and 1
  constexpr double sd_of_sum = 2.44949 * sd_of_uniform;
  double sum = 0;
  for (std::uint32_t octave = 0; octave < octaves; ++octave) {
    sum += 2.0 * chance.below(steps, index >> octave, series * octaves + octave) / (steps - 1) - 1;
  }
  return sum / sd_of_sum;
}

/// The deviations of one part's strokes, which are in order, in ticks; they sum to its lean as well as whole ticks can.
void deviate(std::span<StrokeShift> strokes, const Groove& groove) {
  const double ticks_per_s = groove.quarters_per_minute / 60.0 * static_cast<double>(groove_ticks);
  const double sd = human_sd_s * groove.human_percent / 100.0 * ticks_per_s;
  const std::uint32_t part = strokes.front().part;
  const double lean_ms = part < groove.lean_ms.size() ? groove.lean_ms[part] : 0;
  const double lean = lean_ms / 1000 * std::min(1.0, groove.human_percent / double{full_lean_percent}) * ticks_per_s;
  const Chance chance(groove.seed);
  constexpr std::uint32_t shared_series = 1;
  std::vector<double> noise;
  double sum = 0;
  for (std::uint32_t i = 0; i < strokes.size(); ++i) {
    const auto beat = static_cast<std::uint32_t>(whole_times(strokes[i].stroke, Beats(1)));
    const double deviation = std::sqrt(shared_variance) * pink_noise(chance, beat, shared_series) +
                             std::sqrt(1 - shared_variance) * pink_noise(chance, i, shared_series + 1 + part);
    noise.push_back(std::clamp(deviation, -most_sd, most_sd));
    sum += noise.back();
  }
  const double mean = sum / static_cast<double>(strokes.size());
  for (std::size_t i = 0; i < strokes.size(); ++i) {
    strokes[i].ticks = static_cast<int>(std::lround((noise[i] - mean) * sd + lean));
  }
}

/// The shifts of all strokes, sorted by part and place.
std::vector<StrokeShift> human_shifts(const std::vector<PlayedNote>& notes, const Groove& groove) {
  std::vector<StrokeShift> shifts;
  shifts.reserve(notes.size());
  for (const PlayedNote& played : notes) shifts.push_back({played.note.part, played.stroke, 0});
  const auto order = [](const StrokeShift& a, const StrokeShift& b) {
    return a.part != b.part ? a.part < b.part : a.stroke < b.stroke;
  };
  std::sort(shifts.begin(), shifts.end(), order);
  shifts.erase(
      std::unique(shifts.begin(), shifts.end(),
                  [](const StrokeShift& a, const StrokeShift& b) { return a.part == b.part && a.stroke == b.stroke; }),
      shifts.end());
  if (groove.human_percent == 0) return shifts;
  for (auto from = shifts.begin(); from != shifts.end();) {
    const auto to = std::find_if(from, shifts.end(), [&](const StrokeShift& each) { return each.part != from->part; });
    deviate({from, to}, groove);
    from = to;
  }
  return shifts;
}

int shift_of(const std::vector<StrokeShift>& shifts, std::uint8_t part, Beats stroke) {
  const auto found = std::lower_bound(shifts.begin(), shifts.end(), StrokeShift{part, stroke, 0},
                                      [](const StrokeShift& a, const StrokeShift& b) {
                                        return a.part != b.part ? a.part < b.part : a.stroke < b.stroke;
                                      });
  return found->ticks;
}

/// Of two notes of one pitch in one part the earlier ends where the later begins; of two at once the louder remains.
void part_equal_pitches(std::vector<NoteEvent>& events) {
  std::sort(events.begin(), events.end(), [](const NoteEvent& a, const NoteEvent& b) {
    return std::tie(a.part, a.midi, a.start, b.velocity) < std::tie(b.part, b.midi, b.start, a.velocity);
  });
  events.erase(std::unique(events.begin(), events.end(),
                           [](const NoteEvent& a, const NoteEvent& b) {
                             return a.part == b.part && a.midi == b.midi && a.start == b.start;
                           }),
               events.end());
  for (std::size_t i = 0; i + 1 < events.size(); ++i) {
    const NoteEvent& next = events[i + 1];
    if (next.part == events[i].part && next.midi == events[i].midi) {
      events[i].length = std::min(events[i].length, next.start - events[i].start);
    }
  }
}

}  // namespace

int swing_at_tempo(int percent, double usual, double now) {
  const auto ride_ratio = [](double beats) { return 3.5 - 2.5 * std::clamp((beats - 100) / 200, 0.0, 1.0); };
  if (percent <= 50) return 50;
  const double ratio = percent / (100.0 - percent) * ride_ratio(now) / ride_ratio(usual);
  const double bounded = std::clamp(ratio, 1.0, 3.0);
  return static_cast<int>(std::lround(100 * bounded / (1 + bounded)));
}

Beats swung_place(Beats at, const Groove& groove) {
  if (groove.swing_percent == 50) return at;
  const Beats pair = groove.swung * 2;
  const Beats start = pair * whole_times(at, pair);
  const Beats within = at - start;
  const Beats long_one = pair * groove.swing_percent / 100;
  if (within <= groove.swung) return start + within * 2 * groove.swing_percent / 100;
  return start + long_one + (within - groove.swung) * 2 * (100 - groove.swing_percent) / 100;
}

std::vector<NoteEvent> with_groove(std::vector<PlayedNote> notes, const Groove& groove, Beats length) {
  const std::vector<StrokeShift> shifts = human_shifts(notes, groove);
  const Chance chance(groove.seed + 1);
  const int reach = most_human_velocity * groove.human_percent / 100;
  std::vector<NoteEvent> events;
  for (const PlayedNote& played : notes) {
    NoteEvent event = played.note;
    const Beats human{shift_of(shifts, event.part, played.stroke), groove_ticks};
    const Beats end = on_grid(swung_place(event.start + event.length, groove));
    // The strings of a strum keep their distance from its first.
    const Beats start = on_grid(swung_place(played.stroke, groove) + (event.start - played.stroke)) + human;
    event.start = std::max(start, Beats(0));
    event.length = std::min(end, length) - event.start;
    if (event.length <= Beats(0)) continue;
    const int change = chance.below(2 * reach + 1, tick_of(played.stroke), event.part * 128U + event.midi) - reach;
    event.velocity = static_cast<std::uint8_t>(std::clamp(event.velocity + change, 1, 127));
    events.push_back(event);
  }
  part_equal_pitches(events);
  std::sort(events.begin(), events.end(), [](const NoteEvent& a, const NoteEvent& b) {
    return std::tie(a.start, a.part, a.midi) < std::tie(b.start, b.part, b.midi);
  });
  return events;
}

}  // namespace romanesca
