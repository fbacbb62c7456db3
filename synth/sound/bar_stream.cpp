#include "synth/sound/bar_stream.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/loudness.h"
#include "synth/sound/performer.h"
#include "synth/sound/timed_action.h"

namespace romanesca {
namespace {

constexpr std::size_t run_blocks = 16;  // rendered at once
constexpr std::size_t run_frames = run_blocks * block_frames;
constexpr auto grid = static_cast<std::int64_t>(block_frames);
constexpr float stream_ceiling = 0.8810489f;  // -1.1 dB: a tenth below -1 dBTP, for the estimate of true peaks
constexpr double ring_on_s = 3;               // of players that have been replaced

}  // namespace

/// A band with what is known of its keys.
struct BarStream::Players {
  Players(const StreamBar& bar, double sample_rate_hz)
      : parts(bar.performance.parts),
        keys(bar.keys),
        band(parts, keys, {sample_rate_hz, 0, run_blocks, nullptr}),
        sounding(parts.size() * 128) {}

  [[nodiscard]] bool can_play(const StreamBar& bar) const {
    const std::vector<Part>& other = bar.performance.parts;
    if (keys.size() != bar.keys.size()) return false;
    for (std::size_t i = 0; i < keys.size(); ++i) {
      if ((bar.keys[i] & ~keys[i]).any()) return false;
    }
    return std::equal(parts.begin(), parts.end(), other.begin(), other.end(),
                      [](const Part& a, const Part& b) { return a.instrument == b.instrument; });
  }

  /// Lets go of all keys at the start of the next run.
  void release_all() {
    for (std::size_t key = 0; key < sounding.size(); ++key) {
      if (sounding[key] == 0) continue;
      BandAction up;
      up.kind = BandAction::Kind::key_up;
      up.part = static_cast<std::uint8_t>(key / 128);
      up.midi = static_cast<std::uint8_t>(key % 128);
      releases.push_back(up);
    }
  }

  std::vector<Part> parts;
  std::vector<KeySet> keys;
  Band band;
  std::vector<BandAction> releases;     ///< for the next run, once replaced
  std::vector<std::uint32_t> sounding;  ///< for each key of each part the note that holds it; 0 for none
  std::int64_t until = 0;               ///< last frame, once replaced
};

BarStream::BarStream(double sample_rate_hz)
    : sample_rate_hz_(sample_rate_hz),
      compressor_({}, sample_rate_hz),
      limiter_(sample_rate_hz, stream_ceiling),
      other_left_(run_frames),
      other_right_(run_frames) {}

BarStream::~BarStream() = default;

bool BarStream::silent() const noexcept { return fading_.empty() && (!current_ || current_->band.silent()); }

void BarStream::choose_players(const StreamBar& bar) {
  const Performance& performance = bar.performance;
  actions_.clear();
  if (current_ && current_->can_play(bar)) {
    for (std::size_t i = 0; i < performance.parts.size(); ++i) {
      const Part& before = current_->parts[i];
      const Part& now = performance.parts[i];
      BandAction change;
      change.part = static_cast<std::uint8_t>(i);
      change.kind = BandAction::Kind::gain;
      change.gain_db = now.gain_db;
      if (before.gain_db != now.gain_db) actions_.push_back(change);
      change.kind = BandAction::Kind::mute;
      change.muted = now.muted;
      if (before.muted != now.muted) actions_.push_back(change);
    }
    current_->parts = performance.parts;
    return;
  }
  if (current_) {
    current_->release_all();
    current_->until = frame_ + static_cast<std::int64_t>(ring_on_s * sample_rate_hz_);
    fading_.push_back(std::move(current_));
  }
  releases_.clear();
  current_ = std::make_unique<Players>(bar, sample_rate_hz_);
}

void BarStream::list_actions_of(const StreamBar& bar, std::int64_t frames) {
  const Performance& performance = bar.performance;
  struct Step {
    std::int64_t frame;
    bool down;
    std::uint32_t note;
    BandAction action;
  };
  std::vector<Step> steps;
  const auto release = [&](const Release& each) {
    BandAction up;
    up.kind = BandAction::Kind::key_up;
    up.part = each.part;
    up.midi = each.midi;
    steps.push_back({std::max<std::int64_t>(each.frame - frame_, 0), false, each.note, up});
  };
  std::vector<Release> later;
  const auto place = [&](const Release& each) {
    if (each.frame < frame_ + frames) {
      release(each);
    } else {
      later.push_back(each);
    }
  };
  for (const Release& each : releases_) place(each);
  for (const NoteEvent& event : performance.events) {
    if (event.part >= performance.parts.size() || performance.parts[event.part].muted) continue;
    const Beats at = event.start - bar.from;
    const std::int64_t from = std::clamp<std::int64_t>(performance.tempo.frame_at(at, sample_rate_hz_), 0, frames - 1);
    const std::int64_t to = std::max(performance.tempo.frame_at(at + event.length, sample_rate_hz_), from + 1);
    BandAction down;
    down.part = event.part;
    down.midi = event.midi & 0x7FU;
    down.velocity = event.velocity;
    down.seed = note_seed(event);
    steps.push_back({from, true, ++last_note_, down});
    place({frame_ + to, last_note_, event.part, down.midi});
  }
  releases_ = std::move(later);
  std::stable_sort(steps.begin(), steps.end(), [](const Step& a, const Step& b) {
    return a.frame != b.frame ? a.frame < b.frame : a.down < b.down;
  });
  for (const Step& step : steps) {
    // A key that was struck again before it went up belongs to the later note.
    std::uint32_t& key = current_->sounding[std::size_t{step.action.part} * 128 + step.action.midi];
    if (!step.down && key != step.note) continue;
    key = step.down ? step.note : 0;
    actions_.push_back(step.action);
    actions_.back().offset = static_cast<std::uint32_t>(step.frame);
  }
}

void BarStream::add_fading(StereoBlock run) {
  const StereoBlock other{other_left_.data(), other_right_.data(), run.frames};
  for (const auto& players : fading_) {
    players->band.render(other, players->releases);
    players->releases.clear();
    for (std::size_t i = 0; i < run.frames; ++i) {
      run.left[i] += other.left[i];
      run.right[i] += other.right[i];
    }
  }
  std::erase_if(fading_, [&](const auto& each) { return run_frame_ >= each->until || each->band.silent(); });
}

void BarStream::render_run(StereoBlock run, double gain_db) {
  const auto first = static_cast<std::uint32_t>(run_frame_ - frame_);
  const auto end = first + static_cast<std::uint32_t>(run.frames);
  run_actions_.clear();
  for (; next_action_ < actions_.size() && actions_[next_action_].offset < end; ++next_action_) {
    run_actions_.push_back(actions_[next_action_]);
    run_actions_.back().offset -= first;
  }
  current_->band.render(run, run_actions_);
  add_fading(run);
  const auto wanted = static_cast<float>(linear_from_db(gain_db));
  if (gain_ == 0) gain_ = wanted;
  for (std::size_t at = 0; at < run.frames; at += block_frames) {
    compressor_.process(run.left + at, run.right + at);
    const float step = (wanted - gain_) * 0.01f / static_cast<float>(block_frames);  // within a tenth of a second
    for (std::size_t i = at; i < at + block_frames; ++i) {
      gain_ += step;
      run.left[i] *= gain_;
      run.right[i] *= gain_;
    }
  }
  limiter_.process(run);
  run_frame_ += static_cast<std::int64_t>(run.frames);
}

void BarStream::render(const StreamBar& bar, std::vector<float>& left, std::vector<float>& right) {
  exact_frame_ += bar.performance.tempo.seconds_at(bar.performance.length) * sample_rate_hz_;
  const std::int64_t end =
      std::max<std::int64_t>(std::llround(exact_frame_ / static_cast<double>(grid)) * grid, frame_ + grid);
  const auto frames = static_cast<std::size_t>(end - frame_);
  left.assign(frames, 0);
  right.assign(frames, 0);
  choose_players(bar);
  list_actions_of(bar, end - frame_);
  next_action_ = 0;
  run_frame_ = frame_;
  for (std::size_t at = 0; at < frames; at += run_frames) {
    render_run({left.data() + at, right.data() + at, std::min(run_frames, frames - at)}, bar.gain_db);
  }
  frame_ = end;
}

double performance_gain_db(const Performance& performance, double sample_rate_hz, double loudness_lufs,
                           double longest_s) {
  Performer performer(performance, sample_rate_hz);
  Compressor compressor({}, sample_rate_hz);
  Loudness loudness(sample_rate_hz);
  const auto frames = std::min(performer.length_frames(), static_cast<std::int64_t>(longest_s * sample_rate_hz));
  std::array<float, block_frames> left{}, right{};
  for (std::int64_t at = 0; at < frames; at += static_cast<std::int64_t>(block_frames)) {
    const StereoBlock block{left.data(), right.data(), block_frames};
    performer.render(block);
    compressor.process(block.left, block.right);
    loudness.add(block);
  }
  const double heard = loudness.integrated_lufs();
  return std::isfinite(heard) ? loudness_lufs - heard : 0;
}

}  // namespace romanesca
