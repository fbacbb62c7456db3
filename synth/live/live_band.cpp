#include "synth/live/live_band.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "synth/sound/bar_stream.h"
#include "synth/sound/deterministic_math.h"

namespace romanesca {
namespace {

constexpr std::uint8_t high_block = 76, low_block = 77;  // General MIDI percussion keys
constexpr double ring_on_s = 3;
constexpr float ceiling = 0.8810489f;  // -1.1 dB: a tenth below the -1 dBTP of tracks, for the meter's error

std::vector<Part> parts_and_click(const LivePiece& piece) {
  std::vector<Part> parts;
  for (const LivePart& part : piece.parts) parts.push_back({part.name, part.instrument, part.gain_db, false});
  parts.push_back({"count-in", InstrumentId::click, 0, false});
  return parts;
}

Band::Settings one_block(double sample_rate_hz) {
  Band::Settings settings;
  settings.sample_rate_hz = sample_rate_hz;
  settings.most_blocks = 1;
  return settings;
}

}  // namespace

LivePlayers::LivePlayers(const LivePiece& piece, double sample_rate_hz, double gain)
    : band(parts_and_click(piece), {}, one_block(sample_rate_hz)),
      click_part(static_cast<std::uint8_t>(piece.parts.size())),
      gain_db(gain) {}

LiveBand::LiveBand(LiveEngine& engine, double sample_rate_hz)
    : engine_(engine),
      sample_rate_hz_(sample_rate_hz),
      compressor_({}, sample_rate_hz),
      limiter_(sample_rate_hz, ceiling) {}

std::int64_t LiveBand::now_ns() const noexcept {
  return std::llround(static_cast<double>(frame_) * 1e9 / sample_rate_hz_);
}

std::uint32_t LiveBand::offset_of(std::int64_t due_ns) const noexcept {
  const std::int64_t frame = std::llround(static_cast<double>(due_ns) * 1e-9 * sample_rate_hz_);
  return static_cast<std::uint32_t>(
      std::clamp<std::int64_t>(frame - frame_, 0, static_cast<std::int64_t>(block_frames) - 1));
}

void LiveBand::key_down(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi, std::uint8_t velocity) noexcept {
  seed_ = seed_ * 1664525U + 1013904223U;  // Numerical Recipes, 2nd ed., section 7.1
  BandAction action;
  action.offset = offset_of(due_ns);
  action.part = part;
  action.midi = midi;
  action.velocity = velocity;
  action.seed = seed_;
  current_.add(action);
}

void LiveBand::key_up(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi) noexcept {
  BandAction action;
  action.offset = offset_of(due_ns);
  action.kind = BandAction::Kind::key_up;
  action.part = part;
  action.midi = midi;
  current_.add(action);
}

void LiveBand::piece_changed(std::int64_t /*due_ns*/, const LivePiece& piece) noexcept {
  LivePlayers* const players = piece.players.get();
  if (players == current_.players) return;
  std::swap(current_, fading_);
  current_.players = players;
  current_.count = 0;
  fading_until_ = frame_ + static_cast<std::int64_t>(ring_on_s * sample_rate_hz_);
}

void LiveBand::click(std::int64_t due_ns, bool first_of_bar) noexcept {
  if (current_.players == nullptr) return;
  const std::uint8_t key = first_of_bar ? high_block : low_block;
  key_down(due_ns, current_.players->click_part, key, first_of_bar ? 110 : 90);
  key_up(due_ns, current_.players->click_part, key);
}

void LiveBand::silence(std::int64_t due_ns) noexcept {
  fading_.players = nullptr;
  if (current_.players == nullptr) return;
  for (std::uint8_t part = 0; part <= current_.players->click_part; ++part) {
    for (std::uint8_t midi = 0; midi < 128; ++midi) key_up(due_ns, part, midi);
  }
}

void LiveBand::render_block() noexcept {
  current_.count = fading_.count = 0;
  const std::int64_t end =
      std::llround(static_cast<double>(frame_ + static_cast<std::int64_t>(block_frames)) * 1e9 / sample_rate_hz_);
  engine_.run(now_ns(), end - 1, *this);
  const StereoBlock block{left_.data(), right_.data(), block_frames};
  if (current_.players != nullptr) {
    current_.players->band.render(block, {current_.actions.data(), current_.count});
  } else {
    left_.fill(0);
    right_.fill(0);
  }
  if (fading_.players != nullptr) {
    fading_.players->band.render({other_left_.data(), other_right_.data(), block_frames},
                                 {fading_.actions.data(), fading_.count});
    for (std::size_t i = 0; i < block_frames; ++i) {
      left_[i] += other_left_[i];
      right_[i] += other_right_[i];
    }
    if (frame_ >= fading_until_ || fading_.players->band.silent()) fading_.players = nullptr;
  }
  compressor_.process(left_.data(), right_.data());
  const double wanted_db = current_.players != nullptr ? current_.players->gain_db : 0;
  const auto wanted = static_cast<float>(linear_from_db(wanted_db));
  if (first_ && current_.players != nullptr) gain_ = wanted;
  first_ = first_ && current_.players == nullptr;
  const float step = (wanted - gain_) * 0.01f / static_cast<float>(block_frames);  // within a tenth of a second
  for (std::size_t i = 0; i < block_frames; ++i) {
    gain_ += step;
    left_[i] *= gain_;
    right_[i] *= gain_;
  }
  limiter_.process(block);
  frame_ += static_cast<std::int64_t>(block_frames);
}

void LiveBand::render(StereoBlock block) noexcept {
  for (std::size_t done = 0; done < block.frames;) {
    if (used_ == block_frames) {
      render_block();
      used_ = 0;
    }
    const std::size_t count = std::min(block.frames - done, block_frames - used_);
    std::copy_n(left_.begin() + static_cast<std::ptrdiff_t>(used_), count, block.left + done);
    std::copy_n(right_.begin() + static_cast<std::ptrdiff_t>(used_), count, block.right + done);
    used_ += count;
    done += count;
  }
}

double live_gain_db(const Performance& performance, double sample_rate_hz, double loudness_lufs) {
  constexpr double longest_s = 30;
  return performance_gain_db(performance, sample_rate_hz, loudness_lufs, longest_s);
}

}  // namespace romanesca
