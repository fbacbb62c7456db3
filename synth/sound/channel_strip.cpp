#include "synth/sound/channel_strip.h"

#include <algorithm>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr double gain_moves_s = 0.006;  // time constant

std::optional<SweptDelay> insert_of(const InstrumentRow& row, const ChannelStrip::Settings& settings) {
  const auto swept = [&](const Sweep& sweep) {
    return SweptDelay(sweep, settings.sample_rate_hz, settings.period_frames);
  };
  switch (row.insert) {
    case Insert::chorus:
      return swept(
          {.cycle_hz = 0.55, .delay_s = 0.011, .depth_s = 0.0024, .phase_offset = 0.25, .dry = 0.75f, .wet = 0.55f});
    case Insert::rotary:
      return swept({.cycle_hz = 5.8,
                    .delay_s = 0.0012,
                    .depth_s = 0.0003,
                    .phase_offset = 0.5,
                    .dry = 0.25f,
                    .wet = 0.85f,
                    .tremolo = 0.35f});
    case Insert::fans:
      return swept({.cycle_hz = 4.6,
                    .delay_s = 0,
                    .depth_s = 0,
                    .phase_offset = 0.12,
                    .dry = 0.35f,
                    .wet = 0.8f,
                    .tremolo = 0.7f});
    case Insert::none:
      break;
  }
  return std::nullopt;
}

ROMANESCA_VECTOR_CLONES
void scale(float left_from, float left_step, float right_from, float right_step, float* __restrict left,
           float* __restrict right) {
  for (int i = 0; i < static_cast<int>(block_frames); ++i) {
    const auto n = static_cast<float>(i);
    left[i] *= left_from + left_step * n;
    right[i] *= right_from + right_step * n;
  }
}

}  // namespace

ChannelStrip::ChannelStrip(const Part& part, const KeySet& keys, const Settings& settings)
    : part_gain_db_(part.gain_db),
      muted_(part.muted),
      smoothing_(static_cast<float>(
          1 - time_constant_decay(gain_moves_s, settings.sample_rate_hz / static_cast<double>(block_frames)))),
      left_((settings.most_blocks + 1) * block_frames),
      right_(left_.size()) {
  const InstrumentRow& row = instrument(part.instrument);
  player_ = make_player(part.instrument, settings.sample_rate_hz, keys);
  insert_ = insert_of(row, settings);
  instrument_gain_db_ = row.gain_db;
  // Constant power; the middle has gain 1 on either side, since the players are stereo already.
  const Rotation angle = rotation_of((static_cast<double>(row.pan) + 1) / 8);
  pan_left_ = static_cast<float>(angle.cosine * 1.41421356237309504880);
  pan_right_ = static_cast<float>(angle.sine * 1.41421356237309504880);
  send_ = static_cast<float>(linear_from_db(static_cast<double>(row.reverb_db)));
  update_target_gain();
  gain_ = target_gain_;
}

void ChannelStrip::update_target_gain() noexcept {
  target_gain_ =
      muted_ ? 0.0f : static_cast<float>(linear_from_db(static_cast<double>(instrument_gain_db_ + part_gain_db_)));
}

void ChannelStrip::apply(const BandAction& action, std::size_t offset) noexcept {
  switch (action.kind) {
    case BandAction::Kind::key_down:
      player_->note_on(action.midi, action.velocity, action.seed, offset);
      break;
    case BandAction::Kind::key_up:
      player_->note_off(action.midi);
      break;
    case BandAction::Kind::gain:
      part_gain_db_ = std::clamp(action.gain_db, -60.0f, 12.0f);
      update_target_gain();
      break;
    case BandAction::Kind::mute:
      muted_ = action.muted;
      update_target_gain();
      break;
  }
}

void ChannelStrip::render(std::span<const BandAction> actions, std::uint8_t part, std::size_t blocks) noexcept {
  quiet_ = true;
  auto action = actions.begin();
  for (std::vector<float>* side : {&left_, &right_}) {
    std::copy_n(side->begin() + static_cast<std::ptrdiff_t>(rendered_), block_frames, side->begin());
    std::fill_n(side->begin() + static_cast<std::ptrdiff_t>(block_frames), blocks * block_frames, 0.0f);
  }
  rendered_ = blocks * block_frames;
  for (std::size_t block = 0; block < blocks; ++block) {
    const std::size_t from = block * block_frames;
    for (; action != actions.end() && action->offset < from + block_frames; ++action) {
      if (action->part == part) apply(*action, action->offset >= from ? action->offset - from : 0);
    }
    render_block(left_.data() + from, right_.data() + from);
  }
}

void ChannelStrip::render_block(float* left, float* right) noexcept {
  const bool playing = !player_->silent();
  const bool sounding = playing || overhangs_ || (insert_ && !insert_->silent());
  if (!sounding) {
    gain_ = target_gain_;
    return;
  }
  quiet_ = false;
  if (playing) player_->add_to(left, right);
  overhangs_ = playing;
  if (insert_) insert_->process(left, right);
  float next = gain_ + smoothing_ * (target_gain_ - gain_);
  if (std::abs(next - target_gain_) < 1e-6f) next = target_gain_;
  const float step = (next - gain_) / static_cast<float>(block_frames);
  scale(gain_ * pan_left_, step * pan_left_, gain_ * pan_right_, step * pan_right_, left, right);
  gain_ = next;
}

bool ChannelStrip::silent() const noexcept {
  return player_->silent() && !overhangs_ && (!insert_ || insert_->silent());
}

}  // namespace romanesca
