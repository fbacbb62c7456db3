#include "synth/live/live_piece.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <tuple>
#include <utility>

namespace romanesca {
namespace {

constexpr std::uint8_t percussion_channel = 9;
constexpr std::array<std::pair<std::string_view, std::uint8_t>, 9> channels{{{"keys", 0},
                                                                             {"bass", 1},
                                                                             {"organ", 2},
                                                                             {"guitar", 3},
                                                                             {"pad", 4},
                                                                             {"strings", 5},
                                                                             {"guide", 6},
                                                                             {"call", 7},
                                                                             {"tune", 8}}};
constexpr std::uint8_t other_channel = 10;

std::vector<LivePart> live_parts(const std::vector<Part>& parts) {
  std::vector<LivePart> all;
  for (const Part& part : parts) {
    if (all.size() == most_live_parts) break;
    const InstrumentRow& row = instrument(part.instrument);
    all.push_back({part.name, part.instrument, part.gain_db, live_channel_of(part.name, row.drums),
                   static_cast<std::uint8_t>(row.program), part.muted, !row.drums});
  }
  return all;
}

std::vector<LiveAction> actions_of(const Performance& performance, std::int32_t length) {
  std::vector<LiveAction> actions;
  actions.reserve(2 * performance.events.size());
  for (const NoteEvent& event : performance.events) {
    if (event.part >= most_live_parts || event.velocity == 0) continue;
    const std::int32_t from = live_tick_of(event.start);
    const std::int32_t to = std::min(live_tick_of(event.start + event.length), length);
    if (from < 0 || from >= to) continue;
    actions.push_back({from, to, event.part, event.midi, event.velocity});
    actions.push_back({to, to, event.part, event.midi, 0});
  }
  std::sort(actions.begin(), actions.end(), [](const LiveAction& a, const LiveAction& b) {
    return std::make_tuple(a.tick, a.velocity != 0, a.part, a.midi) <
           std::make_tuple(b.tick, b.velocity != 0, b.part, b.midi);
  });
  return actions;
}

}  // namespace

std::int32_t live_tick_of(Beats place) noexcept {
  return static_cast<std::int32_t>(std::llround(place.quarters() * live_ticks));
}

std::uint8_t live_channel_of(std::string_view part, bool drums) noexcept {
  if (drums) return percussion_channel;
  for (const auto& [name, channel] : channels) {
    if (name == part) return channel;
  }
  return other_channel;
}

std::size_t LivePiece::section_at(int bar) const noexcept {
  std::size_t found = 0;
  while (found + 1 < sections.size() && sections[found + 1].first_bar <= bar) ++found;
  return found;
}

std::size_t LivePiece::part_named(std::string_view name) const noexcept {
  std::size_t found = 0;
  while (found < parts.size() && parts[found].name != name) ++found;
  return found;
}

std::int32_t LivePiece::start_of(int bar) const noexcept { return live_tick_of(meters.start_of(bar + 1)); }

int LivePiece::bar_at(std::int32_t tick) const noexcept { return meters.bar_at(Beats(tick, live_ticks)) - 1; }

std::int32_t LivePiece::tick_of(int bar, int pulse) const noexcept {
  return start_of(bar) + live_tick_of(meter_of(bar).pulse_length()) * pulse;
}

std::int32_t LivePiece::pulse_from(double place) const noexcept {
  const int bar = bar_at(static_cast<std::int32_t>(place));
  const std::int32_t pulse = live_tick_of(meter_of(bar).pulse_length());
  const double within = place - start_of(bar);
  return std::min(start_of(bar) + static_cast<std::int32_t>(std::ceil(within / pulse)) * pulse, start_of(bar + 1));
}

LivePiece lay_out(const Performance& performance, const MeterMap& meters, std::vector<LiveChord> chords,
                  std::vector<LiveSection> sections) {
  LivePiece piece;
  piece.meters = meters;
  piece.pulse_ticks = live_tick_of(meters.first().pulse_length());
  piece.bars = std::clamp(meters.bar_at(performance.length) - 1, 1, most_live_bars);
  piece.parts = live_parts(performance.parts);
  piece.actions = actions_of(performance, piece.length());
  std::erase_if(piece.actions, [&](const LiveAction& action) { return action.part >= piece.parts.size(); });
  const double first = performance.tempo.tempos().front().quarters_per_minute;
  for (const TempoMap::Tempo& tempo : performance.tempo.tempos()) {
    piece.tempos.push_back({live_tick_of(tempo.at), tempo.quarters_per_minute / first});
  }
  piece.chords = std::move(chords);
  piece.sections = std::move(sections);
  if (piece.sections.empty()) piece.sections.push_back({0, piece.bars});
  return piece;
}

}  // namespace romanesca
