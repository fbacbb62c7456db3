#include "synth/sound/band.h"

#include <algorithm>
#include <array>

#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr double offset_hz = 7;

ROMANESCA_VECTOR_CLONES
void add_strip(const float* __restrict from_left, const float* __restrict from_right, float send,
               float* __restrict left, float* __restrict right, float* __restrict room) {
  const float half = 0.5f * send;
  for (std::size_t i = 0; i < block_frames; ++i) {
    left[i] += from_left[i];
    right[i] += from_right[i];
    room[i] += (from_left[i] + from_right[i]) * half;
  }
}

}  // namespace

Band::Band(std::span<const Part> parts, std::span<const KeySet> keys, const Settings& settings)
    : reverb_(settings.sample_rate_hz),
      left_offset_(settings.sample_rate_hz, offset_hz),
      right_offset_(settings.sample_rate_hz, offset_hz),
      workers_(settings.workers) {
  const ChannelStrip::Settings strip{settings.sample_rate_hz, settings.period_frames, settings.most_blocks};
  for (std::size_t i = 0; i < parts.size(); ++i) {
    strips_.push_back(std::make_unique<ChannelStrip>(parts[i], i < keys.size() ? keys[i] : KeySet().set(), strip));
  }
}

Band::~Band() = default;

struct Band::Task {
  Band* band;
  std::span<const BandAction> actions;
  std::size_t blocks;
  static void run(void* context, std::size_t number) noexcept {
    const Task& task = *static_cast<const Task*>(context);
    task.band->strips_[number]->render(task.actions, static_cast<std::uint8_t>(number), task.blocks);
  }
};

void Band::render(StereoBlock block, std::span<const BandAction> actions) noexcept {
  Task task{this, actions, block.frames / block_frames};
  if (workers_ != nullptr) {
    workers_->run(strips_.size(), {&Task::run, &task});
  } else {
    for (std::size_t i = 0; i < strips_.size(); ++i) Task::run(&task, i);
  }
  mix(block);
}

void Band::mix(StereoBlock block) noexcept {
  std::fill_n(block.left, block.frames, 0.0f);
  std::fill_n(block.right, block.frames, 0.0f);
  alignas(64) std::array<float, block_frames> room;
  for (std::size_t at = 0; at < block.frames; at += block_frames) {
    room.fill(0);
    float* left = block.left + at;
    float* right = block.right + at;
    for (const auto& strip : strips_) {
      if (!strip->quiet()) add_strip(strip->left() + at, strip->right() + at, strip->send(), left, right, room.data());
    }
    reverb_.add_to(room.data(), left, right);
    left_offset_.process(left);
    right_offset_.process(right);
  }
}

bool Band::silent() const noexcept {
  return reverb_.silent() && left_offset_.silent() && right_offset_.silent() &&
         std::all_of(strips_.begin(), strips_.end(), [](const auto& strip) { return strip->silent(); });
}

}  // namespace romanesca
