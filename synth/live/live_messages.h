#pragma once

#include <cstdint>

#include "synth/live/live_piece.h"

namespace romanesca {

/// A command from the controls to the band. Small and trivially copyable, for a queue.
struct LiveCommand {
  enum class Kind : std::uint8_t {
    start,      ///< from bar @c number, after @c count bars of clicks
    stop,       ///< at once; every note is ended
    tempo,      ///< @c value pulses a minute; the position stays
    piece,      ///< @c piece replaces the present one, which is retired; mutes are @c number, or with @c count 1 stay
    go_to,      ///< bar @c number: at the next bar line, or at once while stopped
    loop,       ///< bars from @c number to before @c count; an empty range for the whole piece
    mutes,      ///< @c number has a bit for each part that rests
    wait_mode,  ///< whether the band waits before every chord: @c number 1 or 0
    go,         ///< continues from the chord that the band waits for, or does not wait at the next one
    clock,      ///< MIDI clock: @c number 1 or 0
    rounds,     ///< stop after @c number times through; 0 for never
    panic       ///< silence on every channel
  };
  Kind kind = Kind::stop;
  bool at_once = false;  ///< for piece: now instead of at the next bar line
  std::int32_t number = 0, count = 0;
  double value = 0;
  const LivePiece* piece = nullptr;
};

/// A report of the band to the controls.
struct LiveEvent {
  enum class Kind : std::uint8_t { started, stopped, count_in, pulse, chord, waiting, piece_changed, slipped };
  Kind kind = Kind::pulse;
  std::int64_t time_ns = 0;  ///< when it was due
  std::int32_t bar = 0;      ///< from 0
  std::int32_t pulse = 0;    ///< from 0 in its bar; for count_in the number left; for stopped 1 if by command
  std::int32_t chord = 0;    ///< index into LivePiece::chords
  std::int32_t round = 0;    ///< from 0
  double quarters_per_minute = 0;
  const LivePiece* piece = nullptr;  ///< that is being played
};

/// Receives what the band plays when it is due. Called on the time-keeping thread: nothing here may allocate, lock or
/// throw.
class LiveSink {
 public:
  enum class Transport : std::uint8_t { start, resume, stop };

  virtual ~LiveSink() = default;
  LiveSink() = default;
  LiveSink(const LiveSink&) = delete;
  LiveSink& operator=(const LiveSink&) = delete;

  virtual void key_down(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi, std::uint8_t velocity) noexcept = 0;
  virtual void key_up(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi) noexcept = 0;
  /// Another piece from now on; all keys are up.
  virtual void piece_changed(std::int64_t due_ns, const LivePiece& piece) noexcept = 0;
  virtual void click(std::int64_t due_ns, bool first_of_bar) noexcept = 0;  ///< of a count-in
  virtual void transport(std::int64_t due_ns, Transport what) noexcept = 0;
  virtual void clock(std::int64_t due_ns) noexcept = 0;    ///< 24 to a quarter note
  virtual void silence(std::int64_t due_ns) noexcept = 0;  ///< of all channels
};

}  // namespace romanesca
