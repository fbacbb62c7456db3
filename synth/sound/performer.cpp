#include "synth/sound/performer.h"

#include <algorithm>

namespace romanesca {
namespace {

constexpr std::size_t blocks_alone = 16;
constexpr std::size_t blocks_with_workers = 128;  // so long that synchronising costs little

std::vector<KeySet> keys_of(const Performance& performance) {
  std::vector<KeySet> keys(performance.parts.size());
  for (const NoteEvent& event : performance.events) {
    if (event.part < keys.size() && !performance.parts[event.part].muted) keys[event.part].set(event.midi & 0x7FU);
  }
  return keys;
}

}  // namespace

Performer::Performer(const Performance& performance, const Settings& settings)
    : list_(list_actions(performance, settings.sample_rate_hz, settings.loop)),
      most_frames_((settings.workers != nullptr ? blocks_with_workers : blocks_alone) * block_frames),
      band_(performance.parts, keys_of(performance),
            {settings.sample_rate_hz, settings.loop ? list_.length_frames : 0, most_frames_ / block_frames,
             settings.workers}),
      frame_(list_.first_frame),
      left_(block_frames),
      right_(block_frames) {
  // The most actions that fall into one call.
  std::size_t most = 0;
  std::size_t first = 0;
  for (std::size_t i = 0; i < list_.actions.size(); ++i) {
    while (list_.actions[first].frame + static_cast<std::int64_t>(most_frames_) <= list_.actions[i].frame) ++first;
    most = std::max(most, i - first + 1);
  }
  actions_.reserve(most);
}

void Performer::render_blocks(StereoBlock block) noexcept {
  actions_.clear();
  const std::int64_t end = frame_ + static_cast<std::int64_t>(block.frames);
  for (; next_action_ < list_.actions.size() && list_.actions[next_action_].frame < end; ++next_action_) {
    const TimedAction& action = list_.actions[next_action_];
    BandAction next;
    next.offset = static_cast<std::uint32_t>(std::max<std::int64_t>(action.frame - frame_, 0));
    next.kind = action.down ? BandAction::Kind::key_down : BandAction::Kind::key_up;
    next.part = action.part;
    next.midi = action.midi;
    next.velocity = action.velocity;
    next.seed = action.seed;
    actions_.push_back(next);
  }
  band_.render(block, actions_);
  frame_ = end;
}

void Performer::render(StereoBlock block) noexcept {
  for (std::size_t done = 0; done < block.frames;) {
    const std::size_t left = block.frames - done;
    if (used_ < block_frames) {
      const std::size_t count = std::min(left, block_frames - used_);
      std::copy_n(left_.begin() + static_cast<std::ptrdiff_t>(used_), count, block.left + done);
      std::copy_n(right_.begin() + static_cast<std::ptrdiff_t>(used_), count, block.right + done);
      used_ += count;
      done += count;
    } else if (left >= block_frames) {
      const std::size_t whole = std::min(left / block_frames * block_frames, most_frames_);
      render_blocks({block.left + done, block.right + done, whole});
      done += whole;
    } else {
      render_blocks({left_.data(), right_.data(), block_frames});
      used_ = 0;
    }
  }
}

bool Performer::finished() const noexcept { return next_action_ == list_.actions.size() && band_.silent(); }

}  // namespace romanesca
