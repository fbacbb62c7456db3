#pragma once

#include <array>
#include <atomic>
#include <bitset>
#include <cstdint>

#include "synth/live/live_messages.h"
#include "synth/live/spsc_queue.h"

namespace romanesca {

/// Plays a piece in time. It has no clock: its caller (a sleeping thread, an audio callback, a test) passes run() the
/// time in nanoseconds of a monotonic clock. One thread calls run(), another one
/// push_command(), pop_event() and pop_retired(); neither waits for the other, and run() does not allocate, lock or
/// throw.
///
/// Positions are ticks of the piece; a tick's time counts from the last change of tempo, so that rounding does not
/// accumulate and a new tempo keeps the phase. If the caller comes back after more than longest_gap_ns, as after
/// suspend, the missed music is skipped: all notes end, and it continues from its position.
class LiveEngine {
 public:
  static constexpr std::int64_t longest_gap_ns = 250'000'000;
  static constexpr std::int64_t never = INT64_MAX;

  /// @param piece must live until it is retired @param pulses_per_minute 20 to 400
  LiveEngine(const LivePiece& piece, double pulses_per_minute) noexcept;

  // For the control thread.
  /// @return false if the queue is full.
  bool push_command(const LiveCommand& command) noexcept { return commands_.put(command); }
  bool pop_event(LiveEvent& event) noexcept { return events_.take(event); }
  /// A piece that is no longer played.
  bool pop_retired(const LivePiece*& piece) noexcept { return retired_.take(piece); }
  /// The position in ticks of the piece, as of the last run().
  [[nodiscard]] std::int32_t place() const noexcept { return place_.load(std::memory_order_relaxed); }

  // For the time-keeping thread.
  /// Plays what is due by @p now_ns, handles the commands, and plays up to and including @p until_ns.
  void run(std::int64_t now_ns, std::int64_t until_ns, LiveSink& sink) noexcept;
  /// When the next event is due; never if none is.
  [[nodiscard]] std::int64_t next_due() const noexcept;

 private:
  enum class State : std::uint8_t { stopped, counting, playing, waiting };

  void handle(const LiveCommand& command, std::int64_t now_ns) noexcept;
  void start(std::int32_t bar, std::int32_t count_in_bars, std::int64_t now_ns) noexcept;
  void stop(std::int64_t now_ns, bool asked) noexcept;
  void count(std::int64_t due) noexcept;
  void begin(std::int64_t due) noexcept;
  void play_until(std::int64_t time_ns) noexcept;
  void play_tick(std::int32_t tick, std::int64_t due) noexcept;
  [[nodiscard]] bool cross_bar_line(std::int32_t& tick, std::int64_t due) noexcept;
  void play_downs(std::int32_t tick, std::int64_t due) noexcept;
  void take_piece(const LiveCommand& command, std::int64_t now_ns) noexcept;
  void replace(const LivePiece& piece, std::uint32_t mutes, std::int64_t due) noexcept;
  void replace_now(const LiveCommand& command, std::int64_t now_ns) noexcept;
  void retire(const LivePiece* piece) noexcept;
  void strike_held(double place, std::int64_t due) noexcept;
  void seek(std::int32_t tick) noexcept;
  void seek_behind(std::int32_t tick) noexcept;
  void anchor(double tick, std::int64_t time_ns) noexcept;
  void down(std::int64_t due, const LiveAction& action) noexcept;
  void up(std::int64_t due, std::uint8_t part, std::uint8_t midi) noexcept;
  void end_notes(std::int64_t due) noexcept;
  void end_notes(std::int64_t due, std::uint8_t part) noexcept;
  void emit(LiveEvent::Kind kind, std::int64_t due, std::int32_t pulse = 0, std::int32_t chord = 0) noexcept;
  void change_mutes(std::uint32_t mutes, std::int64_t now_ns) noexcept;

  [[nodiscard]] std::int64_t time_of(std::int32_t tick) const noexcept;
  [[nodiscard]] double place_at(std::int64_t time_ns) const noexcept;
  [[nodiscard]] bool moving() const noexcept { return state_ == State::counting || state_ == State::playing; }
  [[nodiscard]] std::int32_t next_tick() const noexcept;
  [[nodiscard]] std::int32_t loop_end() const noexcept;
  [[nodiscard]] std::int32_t loop_start() const noexcept;
  [[nodiscard]] double factor_at(double place) const noexcept;

  const LivePiece* piece_;
  const LivePiece* waiting_piece_ = nullptr;  ///< starts at the next bar line
  std::uint32_t waiting_mutes_ = 0;
  bool waiting_keeps_mutes_ = false;  ///< those of the piece before it
  LiveSink* sink_ = nullptr;          ///< while run() runs
  State state_ = State::stopped;
  double pulses_per_minute_;

  // The tick anchor_tick_ is at the time anchor_ns_.
  double anchor_tick_ = 0;
  std::int64_t anchor_ns_ = 0;
  double ns_per_tick_ = 0;
  std::int32_t tick_ = 0;  ///< the next to be played
  std::size_t next_action_ = 0, next_chord_ = 0, next_tempo_ = 0;
  std::int32_t next_pulse_ = 0, next_clock_ = 0;

  std::int32_t jump_bar_ = -1;       ///< at the next bar line
  int loop_from_ = 0, loop_to_ = 0;  ///< bars; empty for the whole piece
  std::int32_t round_ = 0, rounds_ = 0;
  std::int32_t start_tick_ = 0, count_left_ = 0;
  bool wait_mode_ = false, go_given_ = false, clock_on_ = false, counted_in_ = false;
  std::uint32_t mutes_ = 0;
  std::array<std::bitset<128>, most_live_parts> sounding_{};

  SpscQueue<LiveCommand, 256> commands_;
  SpscQueue<LiveEvent, 4096> events_;
  SpscQueue<const LivePiece*, 64> retired_;
  std::atomic<std::int32_t> place_{0};
};

}  // namespace romanesca
