#include "synth/live/live_engine.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

constexpr std::int32_t clock_ticks = live_ticks / 24;       // MIDI 1.0: 24 clocks to a quarter note
constexpr std::int32_t longest_bar_ticks = 6 * live_ticks;  // of 12/8

/// The index of the first item of a sorted list at or after a tick.
template <typename List>
std::size_t first_at(const List& list, double place) noexcept {
  const auto found =
      std::partition_point(list.begin(), list.end(), [&](const auto& item) { return item.tick < place; });
  return static_cast<std::size_t>(found - list.begin());
}

std::int32_t next_multiple(double place, std::int32_t of) noexcept {
  return static_cast<std::int32_t>(std::ceil(place / of)) * of;
}

}  // namespace

LiveEngine::LiveEngine(const LivePiece& piece, double pulses_per_minute) noexcept
    : piece_(&piece), pulses_per_minute_(pulses_per_minute) {
  for (std::size_t i = 0; i < piece.parts.size(); ++i) mutes_ |= piece.parts[i].muted ? 1U << i : 0U;
  seek(0);
}

// Time and position -----------------------------------------------------------------------------------------------

double LiveEngine::factor_at(double place) const noexcept {
  double factor = 1;
  for (const LiveTempo& tempo : piece_->tempos) {
    if (tempo.tick > place) break;
    factor = tempo.factor;
  }
  return factor;
}

void LiveEngine::anchor(double tick, std::int64_t time_ns) noexcept {
  anchor_tick_ = tick;
  anchor_ns_ = time_ns;
  const double factor = factor_at(state_ == State::counting ? start_tick_ : tick);
  ns_per_tick_ = 60e9 / (pulses_per_minute_ * factor * piece_->pulse_ticks);
}

std::int64_t LiveEngine::time_of(std::int32_t tick) const noexcept {
  return anchor_ns_ + std::llround((tick - anchor_tick_) * ns_per_tick_);
}

double LiveEngine::place_at(std::int64_t time_ns) const noexcept {
  if (!moving()) return tick_;
  return anchor_tick_ + static_cast<double>(time_ns - anchor_ns_) / ns_per_tick_;
}

std::int32_t LiveEngine::loop_start() const noexcept {
  return loop_to_ > loop_from_ ? piece_->start_of(std::min(loop_from_, piece_->bars - 1)) : 0;
}

std::int32_t LiveEngine::loop_end() const noexcept {
  return loop_to_ > loop_from_ ? piece_->start_of(std::min(loop_to_, piece_->bars)) : piece_->length();
}

std::int32_t LiveEngine::next_tick() const noexcept {
  std::int32_t next = next_pulse_;  // there is one on every bar line, so on the end too
  if (next_action_ < piece_->actions.size()) next = std::min(next, piece_->actions[next_action_].tick);
  if (next_chord_ < piece_->chords.size()) next = std::min(next, piece_->chords[next_chord_].tick);
  if (next_tempo_ < piece_->tempos.size()) next = std::min(next, piece_->tempos[next_tempo_].tick);
  if (clock_on_) next = std::min(next, next_clock_);
  return next;
}

std::int64_t LiveEngine::next_due() const noexcept {
  switch (state_) {
    case State::counting:
      return time_of(start_tick_ - count_left_ * piece_->pulse_ticks);
    case State::playing:
      return time_of(next_tick());
    default:
      return never;
  }
}

/// What begins at the tick is still to be played.
void LiveEngine::seek(std::int32_t tick) noexcept {
  tick_ = tick;
  next_action_ = first_at(piece_->actions, tick);
  next_chord_ = first_at(piece_->chords, tick);
  next_tempo_ = first_at(piece_->tempos, tick);
  next_pulse_ = piece_->pulse_from(tick);
  next_clock_ = next_multiple(tick, clock_ticks);
}

/// Of what begins at the tick, only key presses are still to be played.
void LiveEngine::seek_behind(std::int32_t tick) noexcept {
  seek(tick);
  next_chord_ = first_at(piece_->chords, tick + 1);
  next_tempo_ = first_at(piece_->tempos, tick + 1);
  next_pulse_ = piece_->pulse_from(tick + 1);
  next_clock_ = next_multiple(tick + 1, clock_ticks);
}

// Commands ------------------------------------------------------------------------------------------------------------

void LiveEngine::handle(const LiveCommand& command, std::int64_t now_ns) noexcept {
  using Kind = LiveCommand::Kind;
  switch (command.kind) {
    case Kind::start:
      start(command.number, command.count, now_ns);
      break;
    case Kind::stop:
      stop(now_ns, true);
      break;
    case Kind::tempo: {
      const double place = place_at(now_ns);
      pulses_per_minute_ = std::clamp(command.value, 10.0, 1000.0);
      anchor(place, now_ns);
      break;
    }
    case Kind::piece:
      take_piece(command, now_ns);
      break;
    case Kind::go_to:
      jump_bar_ = std::clamp(command.number, 0, piece_->bars - 1);
      if (!moving()) {
        end_notes(now_ns);
        state_ = State::stopped;
        seek(piece_->start_of(jump_bar_));
        jump_bar_ = -1;
      }
      break;
    case Kind::loop:
      loop_from_ = std::max(command.number, 0);
      loop_to_ = command.count;
      break;
    case Kind::mutes:
      change_mutes(static_cast<std::uint32_t>(command.number), now_ns);
      break;
    case Kind::wait_mode:
      wait_mode_ = command.number != 0;
      go_given_ = false;
      break;
    case Kind::go:
      go_given_ = state_ != State::waiting;
      if (state_ == State::waiting) {
        state_ = State::playing;
        anchor(tick_, now_ns);
      }
      break;
    case Kind::clock:
      clock_on_ = command.number != 0;
      next_clock_ = next_multiple(state_ == State::counting ? start_tick_ : place_at(now_ns), clock_ticks);
      break;
    case Kind::rounds:
      rounds_ = command.number;
      break;
    case Kind::panic:
      end_notes(now_ns);
      sink_->silence(now_ns);
      break;
  }
}

void LiveEngine::start(std::int32_t bar, std::int32_t count_in_bars, std::int64_t now_ns) noexcept {
  end_notes(now_ns);
  sink_->piece_changed(now_ns, *piece_);  // the sink may be new
  round_ = 0;
  go_given_ = false;
  jump_bar_ = -1;
  start_tick_ = piece_->start_of(std::clamp(bar, 0, piece_->bars - 1));
  counted_in_ = count_in_bars > 0;
  seek(start_tick_);
  count_left_ = std::max(count_in_bars, 0) * piece_->meters.first().pulses();
  state_ = State::counting;
  anchor(start_tick_ - count_left_ * piece_->pulse_ticks, now_ns);
}

void LiveEngine::count(std::int64_t due) noexcept {
  if (count_left_ == 0) return begin(due);
  emit(LiveEvent::Kind::count_in, due, count_left_);
  sink_->click(due, count_left_ % piece_->meters.first().pulses() == 0);
  --count_left_;
}

void LiveEngine::begin(std::int64_t due) noexcept {
  state_ = State::playing;
  anchor(start_tick_, due);
  sink_->transport(due, start_tick_ == 0 ? LiveSink::Transport::start : LiveSink::Transport::resume);
  emit(LiveEvent::Kind::started, due);
}

void LiveEngine::stop(std::int64_t now_ns, bool asked) noexcept {
  end_notes(now_ns);
  if (state_ == State::stopped) return;
  tick_ = std::clamp(static_cast<std::int32_t>(place_at(now_ns)), 0, piece_->length() - 1);
  state_ = State::stopped;
  jump_bar_ = -1;
  sink_->transport(now_ns, LiveSink::Transport::stop);
  emit(LiveEvent::Kind::stopped, now_ns, asked ? 1 : 0);
  if (waiting_piece_ != nullptr) replace(*waiting_piece_, waiting_mutes_, now_ns);
  seek(tick_);
}

void LiveEngine::change_mutes(std::uint32_t mutes, std::int64_t now_ns) noexcept {
  for (std::size_t part = 0; part < most_live_parts; ++part) {
    if ((mutes & ~mutes_) >> part & 1U) end_notes(now_ns, static_cast<std::uint8_t>(part));
  }
  mutes_ = mutes;
}

void LiveEngine::take_piece(const LiveCommand& command, std::int64_t now_ns) noexcept {
  retire(waiting_piece_);
  waiting_piece_ = nullptr;
  if (state_ == State::playing && !command.at_once) {
    waiting_piece_ = command.piece;
    waiting_mutes_ = static_cast<std::uint32_t>(command.number);
    waiting_keeps_mutes_ = command.count == 1;
  } else {
    replace_now(command, now_ns);
  }
}

/// Keeps the position, also between two ticks.
void LiveEngine::replace_now(const LiveCommand& command, std::int64_t now_ns) noexcept {
  const double place = place_at(now_ns);
  replace(*command.piece, command.count == 1 ? mutes_ : static_cast<std::uint32_t>(command.number), now_ns);
  if (state_ == State::playing) {
    const std::int32_t tick = static_cast<std::int32_t>(std::floor(place)) % piece_->length();
    const double within = place - std::floor(place);
    seek(tick + (within > 0 ? 1 : 0));
    strike_held(tick, now_ns);
    anchor(tick + within, now_ns);
  } else if (state_ == State::waiting) {
    seek_behind(tick_ % piece_->length());
  } else {
    start_tick_ %= piece_->length();
    seek(state_ == State::counting ? start_tick_ : tick_ % piece_->length());
    if (state_ == State::counting) anchor(place, now_ns);
  }
}

void LiveEngine::replace(const LivePiece& piece, std::uint32_t mutes, std::int64_t due) noexcept {
  end_notes(due);
  retire(piece_);
  piece_ = &piece;
  waiting_piece_ = nullptr;
  mutes_ = mutes;
  sink_->piece_changed(due, piece);
  emit(LiveEvent::Kind::piece_changed, due);
}

void LiveEngine::retire(const LivePiece* piece) noexcept {
  if (piece != nullptr) static_cast<void>(retired_.put(piece));  // full: its owner keeps it
}

/// Starts the notes that would be sounding had this piece been playing, except those that are nearly over.
void LiveEngine::strike_held(double place, std::int64_t due) noexcept {
  constexpr int bars_back = 4;
  const std::size_t from = first_at(piece_->actions, place - bars_back * longest_bar_ticks);
  for (std::size_t i = from; i < next_action_; ++i) {
    const LiveAction& action = piece_->actions[i];
    const bool held = action.velocity > 0 && action.until > place + piece_->pulse_ticks / 4.0;
    if (held && piece_->parts[action.part].pitched) down(due, action);
  }
}

// Playing -------------------------------------------------------------------------------------------------------------

void LiveEngine::run(std::int64_t now_ns, std::int64_t until_ns, LiveSink& sink) noexcept {
  sink_ = &sink;
  const std::int64_t due_first = next_due();
  if (due_first != never && now_ns - due_first > longest_gap_ns) {
    end_notes(now_ns);
    anchor_ns_ += now_ns - due_first;
    emit(LiveEvent::Kind::slipped, now_ns);
  }
  play_until(now_ns);
  for (LiveCommand command; commands_.take(command);) handle(command, now_ns);
  play_until(until_ns);
  place_.store(static_cast<std::int32_t>(std::max(place_at(until_ns), 0.0)), std::memory_order_relaxed);
  sink_ = nullptr;
}

void LiveEngine::play_until(std::int64_t time_ns) noexcept {
  for (std::int64_t due = next_due(); due <= time_ns && due != never; due = next_due()) {
    if (state_ == State::counting) {
      count(due);
    } else {
      play_tick(next_tick(), due);
    }
  }
}

void LiveEngine::play_tick(std::int32_t tick, std::int64_t due) noexcept {
  for (; next_action_ < piece_->actions.size(); ++next_action_) {
    const LiveAction& action = piece_->actions[next_action_];
    if (action.tick > tick || action.velocity > 0) break;
    up(due, action.part, action.midi);
  }
  if (tick == next_pulse_) {
    if (piece_->start_of(piece_->bar_at(tick)) == tick && !cross_bar_line(tick, due)) return;
    tick_ = tick;
    const int bar = piece_->bar_at(tick);
    const std::int32_t length = piece_->tick_of(bar, 1) - piece_->start_of(bar);
    const std::int32_t pulse = (tick - piece_->start_of(bar)) / length;
    emit(LiveEvent::Kind::pulse, due, pulse);
    if (counted_in_ && round_ == 0 && tick < piece_->pick_up) sink_->click(due, pulse == 0);
    next_pulse_ = std::min(tick + length, piece_->start_of(bar + 1));
  }
  tick_ = tick;
  if (next_tempo_ < piece_->tempos.size() && piece_->tempos[next_tempo_].tick <= tick) {
    ++next_tempo_;
    anchor(tick, due);
  }
  if (clock_on_ && tick >= next_clock_) {
    sink_->clock(due);
    next_clock_ = tick + clock_ticks;
  }
  if (next_chord_ < piece_->chords.size() && piece_->chords[next_chord_].tick <= tick) {
    const auto chord = static_cast<std::int32_t>(next_chord_++);
    const bool held = piece_->chords[static_cast<std::size_t>(chord)].held;
    if (!held) emit(LiveEvent::Kind::chord, due, 0, chord);
    if (wait_mode_ && !held && !go_given_) {
      end_notes(due);
      state_ = State::waiting;
      emit(LiveEvent::Kind::waiting, due, 0, chord);
      return;
    }
    if (!held) go_given_ = false;
  }
  play_downs(tick, due);
}

/// Jumps, loops and replacements on bar lines. @return false when the music has ended.
bool LiveEngine::cross_bar_line(std::int32_t& tick, std::int64_t due) noexcept {
  const std::int32_t before = tick;
  if (jump_bar_ >= 0) {
    tick = piece_->start_of(jump_bar_);
    jump_bar_ = -1;
  } else if (tick >= loop_end()) {
    ++round_;
    tick = loop_start();
    if (rounds_ > 0 && round_ >= rounds_) {
      stop(due, false);
      seek(tick);
      return false;
    }
  }
  const bool replaced = waiting_piece_ != nullptr;
  if (replaced) replace(*waiting_piece_, waiting_keeps_mutes_ ? mutes_ : waiting_mutes_, due);
  if (replaced || tick != before) {
    end_notes(due);
    tick %= piece_->length();
    seek(tick);
    anchor(tick, due);
  }
  return true;
}

void LiveEngine::play_downs(std::int32_t tick, std::int64_t due) noexcept {
  for (; next_action_ < piece_->actions.size(); ++next_action_) {
    const LiveAction& action = piece_->actions[next_action_];
    if (action.tick > tick) break;
    if (action.velocity > 0) down(due, action);
  }
}

void LiveEngine::down(std::int64_t due, const LiveAction& action) noexcept {
  if ((mutes_ >> action.part & 1U) != 0) return;
  if (sounding_[action.part][action.midi]) sink_->key_up(due, action.part, action.midi);
  sounding_[action.part].set(action.midi);
  sink_->key_down(due, action.part, action.midi, action.velocity);
}

void LiveEngine::up(std::int64_t due, std::uint8_t part, std::uint8_t midi) noexcept {
  if (!sounding_[part][midi]) return;
  sounding_[part].reset(midi);
  sink_->key_up(due, part, midi);
}

void LiveEngine::end_notes(std::int64_t due) noexcept {
  for (std::size_t part = 0; part < most_live_parts; ++part) end_notes(due, static_cast<std::uint8_t>(part));
}

void LiveEngine::end_notes(std::int64_t due, std::uint8_t part) noexcept {
  if (sounding_[part].none()) return;
  for (int midi = 0; midi < 128; ++midi) up(due, part, static_cast<std::uint8_t>(midi));
}

void LiveEngine::emit(LiveEvent::Kind kind, std::int64_t due, std::int32_t pulse, std::int32_t chord) noexcept {
  LiveEvent event;
  event.kind = kind;
  event.time_ns = due;
  event.bar = piece_->bar_at(tick_);
  event.pulse = pulse;
  event.chord = chord;
  event.round = round_;
  event.quarters_per_minute = ns_per_tick_ > 0 ? 60e9 / (ns_per_tick_ * live_ticks) : 0;
  event.piece = piece_;
  static_cast<void>(events_.put(event));  // full: the event is lost
}

}  // namespace romanesca
