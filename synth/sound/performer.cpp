#include "synth/sound/performer.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

constexpr double blocker_hz = 7;

float linear(float db) { return std::pow(10.0f, db / 20.0f); }

}  // namespace

Performer::Performer(const Performance& performance, double sample_rate_hz)
    : reverb_(sample_rate_hz),
      left_blocker_(sample_rate_hz, blocker_hz),
      right_blocker_(sample_rate_hz, blocker_hz),
      length_frames_(performance.tempo.frame_at(performance.length, sample_rate_hz)) {
  std::uint32_t count = 0;
  for (const NoteEvent& event : performance.events) {
    ++count;
    if (event.part >= performance.parts.size() || performance.parts[event.part].muted) continue;
    const std::int64_t from = performance.tempo.frame_at(event.start, sample_rate_hz);
    const std::int64_t to = performance.tempo.frame_at(event.start + event.length, sample_rate_hz);
    // The seed makes attacks differ from note to note and is the same on every run.
    const std::uint32_t seed = count * 2654435761U;
    actions_.push_back({from, true, event.part, event.midi, event.velocity, seed});
    actions_.push_back({std::max(to, from + 1), false, event.part, event.midi, 0, 0});
  }
  std::stable_sort(actions_.begin(), actions_.end(), [](const Action& a, const Action& b) {
    return a.frame != b.frame ? a.frame < b.frame : a.down < b.down;
  });
  for (const Part& part : performance.parts) {
    const InstrumentRow& row = instrument(part.instrument);
    const float gain = linear(row.gain_db + part.gain_db);
    const float angle = (row.pan + 1) * 0.78539816f;  // constant power: cos and sin of 0 to 90 degrees
    seats_.push_back({make_player(part.instrument, sample_rate_hz), gain * std::cos(angle), gain * std::sin(angle),
                      gain * linear(row.reverb_db)});
  }
}

void Performer::act(const Action& action) noexcept {
  Player& player = *seats_[action.part].player;
  if (action.down) {
    player.note_on(action.midi, action.velocity, action.seed);
  } else {
    player.note_off(action.midi);
  }
}

void Performer::render_slice() noexcept {
  left_.fill(0);
  right_.fill(0);
  std::array<float, slice_frames> mono;
  std::array<float, slice_frames> send{};
  for (std::size_t from = 0; from < slice_frames;) {
    const std::int64_t now = frame_ + static_cast<std::int64_t>(from);
    while (next_action_ < actions_.size() && actions_[next_action_].frame <= now) act(actions_[next_action_++]);
    std::size_t to = slice_frames;
    if (next_action_ < actions_.size()) {
      to = static_cast<std::size_t>(std::min<std::int64_t>(slice_frames, actions_[next_action_].frame - frame_));
    }
    const std::size_t count = to - from;
    for (const Seat& seat : seats_) {
      if (seat.player->silent()) continue;
      std::fill_n(mono.begin(), count, 0.0f);
      seat.player->add_to(mono.data(), count);
      for (std::size_t i = 0; i < count; ++i) {
        left_[from + i] += mono[i] * seat.left;
        right_[from + i] += mono[i] * seat.right;
        send[from + i] += mono[i] * seat.send;
      }
    }
    from = to;
  }
  reverb_.add_to(send.data(), left_.data(), right_.data(), slice_frames);
  left_blocker_.process(left_.data(), slice_frames);
  right_blocker_.process(right_.data(), slice_frames);
  frame_ += static_cast<std::int64_t>(slice_frames);
}

void Performer::render(StereoBlock block) noexcept {
  for (std::size_t done = 0; done < block.frames;) {
    if (used_ == slice_frames) {
      render_slice();
      used_ = 0;
    }
    const std::size_t count = std::min(block.frames - done, slice_frames - used_);
    std::copy_n(left_.begin() + static_cast<std::ptrdiff_t>(used_), count, block.left + done);
    std::copy_n(right_.begin() + static_cast<std::ptrdiff_t>(used_), count, block.right + done);
    used_ += count;
    done += count;
  }
}

bool Performer::finished() const noexcept {
  return next_action_ == actions_.size() && reverb_.silent() && left_blocker_.silent() && right_blocker_.silent() &&
         std::all_of(seats_.begin(), seats_.end(), [](const Seat& seat) { return seat.player->silent(); });
}

}  // namespace romanesca
