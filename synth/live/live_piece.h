#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "synth/sound/performance.h"
#include "theory/notes/meter_map.h"

namespace romanesca {

struct LivePlayers;

/// Ticks of a quarter note, as in the arranger's grid and in MIDI files.
inline constexpr std::int32_t live_ticks = 960;

/// Most parts of a piece that is played live, and most bars.
inline constexpr std::size_t most_live_parts = 16;
inline constexpr int most_live_bars = 4000;

/// A part of a piece that is played live.
struct LivePart {
  std::string name;
  InstrumentId instrument = InstrumentId::piano;
  float gain_db = 0;
  std::uint8_t channel = 0;  ///< MIDI channel, 0 to 15; 9 is percussion
  std::uint8_t program = 0;  ///< General MIDI, 0 to 127
  bool muted = false;        ///< at first
  bool pitched = true;
};

/// A key press or release.
struct LiveAction {
  std::int32_t tick = 0;
  std::int32_t until = 0;  ///< of a press: the tick of its release
  std::uint8_t part = 0;
  std::uint8_t midi = 0;
  std::uint8_t velocity = 0;  ///< 0 for a release
};

/// From a tick on, the tempo times a factor.
struct LiveTempo {
  std::int32_t tick = 0;
  double factor = 1;
};

/// A chord of the band, by its first tick.
struct LiveChord {
  std::int32_t tick = 0, until = 0;
  bool held = false;  ///< goes on from the bar before
};

struct LiveSection {
  int first_bar = 0;  ///< from 0
  int bars = 0;
};

/// All that the band plays, as sorted lists of ticks for a real-time thread. Immutable once made.
struct LivePiece {
  MeterMap meters;
  std::int32_t pulse_ticks = live_ticks;  ///< of the first bar; tempos count these pulses
  int bars = 0;                           ///< 1 or more
  std::int32_t pick_up = 0;               ///< the piece is silent until this tick, while a count-in goes on
  std::vector<LivePart> parts;
  std::vector<LiveAction> actions;       ///< in order; on one tick releases before presses
  std::vector<LiveTempo> tempos;         ///< in order; the first at 0
  std::vector<LiveChord> chords;         ///< in order
  std::vector<LiveSection> sections;     ///< one or more, without gaps
  std::shared_ptr<LivePlayers> players;  ///< that play it on the speakers; null for a MIDI port

  [[nodiscard]] std::int32_t length() const noexcept { return start_of(bars); }
  /// The first tick of a bar. @param bar from 0; that of bars is the end
  [[nodiscard]] std::int32_t start_of(int bar) const noexcept;
  /// The bar, from 0, in which a tick lies. @param tick not negative
  [[nodiscard]] int bar_at(std::int32_t tick) const noexcept;
  /// The meter of a bar. @param bar from 0
  [[nodiscard]] Meter meter_of(int bar) const noexcept { return meters.at(bar + 1); }
  /// The tick of a pulse in a bar. @param bar, pulse from 0
  [[nodiscard]] std::int32_t tick_of(int bar, int pulse) const noexcept;
  /// The first pulse at or after a place. @param place in ticks, not negative
  [[nodiscard]] std::int32_t pulse_from(double place) const noexcept;
  /// The section that a bar lies in. @param bar from 0, below bars.
  [[nodiscard]] std::size_t section_at(int bar) const noexcept;
  /// The part of that name, or parts.size().
  [[nodiscard]] std::size_t part_named(std::string_view name) const noexcept;
};

/// Converts a performance of whole bars. Parts beyond most_live_parts are left out. Tempo changes count relative to the
/// first tempo. @param chords, sections as they will stand in the piece; sections may be empty.
[[nodiscard]] LivePiece lay_out(const Performance& performance, const MeterMap& meters, std::vector<LiveChord> chords,
                                std::vector<LiveSection> sections);

/// A position in ticks, rounded to the nearest.
[[nodiscard]] std::int32_t live_tick_of(Beats place) noexcept;

/// The MIDI channel, 0 to 15, of a part: keys 1, bass 2, organ 3, guitar 4, pad 5, strings 6, guide 7, call 8, tune 9
/// counted from 1, percussion and clicks 10, any other part 11.
[[nodiscard]] std::uint8_t live_channel_of(std::string_view part, bool drums) noexcept;

}  // namespace romanesca
