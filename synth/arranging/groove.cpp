#include "synth/arranging/groove.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace romanesca {
namespace {

constexpr double most_human_s = 0.012;
constexpr int most_human_velocity = 10;

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

/// The shifts of all strokes, sorted by part and place. Those of a part sum to zero.
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
  const double tick_s = 60.0 / groove.quarters_per_minute / static_cast<double>(groove_ticks);
  const int reach = static_cast<int>(std::lround(most_human_s * groove.human_percent / 100.0 / tick_s));
  if (reach == 0) return shifts;
  const Chance chance(groove.seed);
  for (auto from = shifts.begin(); from != shifts.end();) {
    const auto to = std::find_if(from, shifts.end(), [&](const StrokeShift& each) { return each.part != from->part; });
    int sum = 0;
    for (auto each = from; each != to; ++each) {
      // The sum of two random numbers: small shifts are more probable than large ones.
      const std::uint32_t tick = tick_of(each->stroke);
      each->ticks =
          (chance.below(reach + 1, tick, 2U * each->part) + chance.below(reach + 1, tick, 2U * each->part + 1)) - reach;
      if (each->stroke == Beats(0)) each->ticks = std::max(each->ticks, 0);
      sum += each->ticks;
    }
    // The remaining sum is removed in single ticks, spread over the part.
    const auto count = static_cast<int>(to - from);
    for (int k = 0; k < count; ++k) {
      StrokeShift& shift = from[count - 1 - k];
      const int rest = sum / (count - k);
      const int taken = shift.stroke == Beats(0) ? std::min(rest, shift.ticks) : rest;
      shift.ticks -= taken;
      sum -= taken;
    }
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
