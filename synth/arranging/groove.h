#pragma once

#include <cstdint>
#include <vector>

#include "theory/notes/note_event.h"

namespace romanesca {

/// Random numbers from a seed and a position: the same in whatever order they are drawn. The mixing is that of
/// MurmurHash3's finaliser (Appleby, public domain; from memory), over the numbers one after another.
class Chance {
 public:
  explicit Chance(std::uint32_t seed) noexcept : seed_(seed) {}

  /// 0 to limit - 1. @param limit 1 or more @param a, b the position
  [[nodiscard]] int below(int limit, std::uint32_t a, std::uint32_t b) const noexcept {
    return static_cast<int>(mix(mix(mix(seed_) ^ a) + b) % static_cast<std::uint32_t>(limit));
  }

 private:
  static constexpr std::uint32_t mix(std::uint32_t value) noexcept {
    value = (value ^ (value >> 16U)) * 0x85EBCA6BU;
    value = (value ^ (value >> 13U)) * 0xC2B2AE35U;
    return (value ^ (value >> 16U)) + 0x9E3779B9U;
  }
  std::uint32_t seed_;
};

/// A note and the start of its stroke: all strings of a strum belong to one.
struct PlayedNote {
  NoteEvent note;
  Beats stroke;
};

/// All times of an arrangement lie on this grid: ticks of a quarter note, the same as in MIDI files.
inline constexpr std::int64_t groove_ticks = 960;

struct Groove {
  int swing_percent = 50;  ///< where the second of a pair falls, 50 (even) to 75; 67 is a triplet
  Beats swung{1, 2};       ///< the notes that make the pairs: eighths or sixteenths
  /// Unevenness: 0 exact; at 100 a standard deviation of 15 ms, never more than 30 ms, and up to 10 steps of velocity.
  int human_percent = 0;
  double quarters_per_minute = 90;  ///< converts that to ticks
  std::uint32_t seed = 1;
  /// How much later than the grid each part plays on average; wholly from 30 percent of unevenness on, below it less.
  std::vector<double> lean_ms{};
};

/// A style's swing at another tempo than its usual one: the ratio of long to short changes as that of drummers' ride
/// cymbals does, from about 3.5 : 1 at 100 beats a minute to 1 : 1 at 300, on a straight line (Friberg and Sundstrom,
/// "Swing ratios and ensemble timing in jazz performance", Music Perception 19, 2002; the ends of the line from
/// memory).
/// @param percent at the usual tempo, 50 to 75 @param usual, now pairs of swung notes a minute
[[nodiscard]] int swing_at_tempo(int percent, double usual, double now);

/// The time of a swung note: the first half of each pair takes swing_percent of its length.
[[nodiscard]] Beats swung_place(Beats at, const Groove& groove);

/// Applies swing and a player's small unevenness. Each stroke of a part moves as one. Deviations of people keeping time
/// are correlated over many strokes, with a spectrum near 1/f (Hennig et al., "The nature and perception of
/// fluctuations in human musical rhythms", PLoS ONE 6, 2011), and people who play together share a part of them
/// (Hennig, "Synchronization in human musical rhythms and mutually interacting complex systems", PNAS 111, 2014). The
/// shifts of a part add up to its lean, so it never drifts from the grid. Afterwards all times lie on the grid of
/// ticks, no pitch of a part sounds twice at once, and nothing sounds before 0 or after @p length.
[[nodiscard]] std::vector<NoteEvent> with_groove(std::vector<PlayedNote> notes, const Groove& groove, Beats length);

}  // namespace romanesca
