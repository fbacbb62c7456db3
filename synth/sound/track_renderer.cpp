#include "synth/sound/track_renderer.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "synth/sound/limiter.h"
#include "synth/sound/performer.h"

namespace romanesca {
namespace {

constexpr std::size_t block_frames = 1024;
constexpr auto block_step = static_cast<std::int64_t>(block_frames);
constexpr double trial_s = 30;
constexpr double longest_tail_s = 10;
constexpr double priming_s = 0.5;          // how much of a loop's end the limiter hears before its start
constexpr double limiter_margin_db = 0.3;  // between the limiter's estimate of true peaks and the meter's

struct StereoBuffer {
  std::vector<float> left, right;
  [[nodiscard]] std::size_t size() const { return left.size(); }
  void append(const StereoBlock& block, std::size_t from) {
    left.insert(left.end(), block.left + from, block.left + block.frames);
    right.insert(right.end(), block.right + from, block.right + block.frames);
  }
};

class TrackRenderer {
 public:
  TrackRenderer(const Performance& performance, const TrackSettings& settings, LoudnessMeter& meter, Progress& progress)
      : performance_(performance), settings_(settings), meter_(meter), progress_(progress) {}

  TrackResult run(FrameSink& sink) {
    TrackResult result;
    if (!listen()) return stopped();
    const double heard = meter_.integrated_lufs();
    gain_ = std::isfinite(heard) ? std::pow(10.0, (settings_.loudness_lufs - heard) / 20) : 1;
    // Where the limiter has much to do, the track gets softer; a trial run tells by how much.
    const double over_db = 20 * std::log10(std::max(peak_ * gain_, 1e-9)) - settings_.ceiling_dbtp;
    if (over_db > 1) {
      if (!finish(nullptr, std::min(total_, trial_length_))) return stopped();
      const double expected = trial_lufs_ + 20 * std::log10(gain_);
      const double trial = meter_.integrated_lufs();
      if (std::isfinite(trial) && std::isfinite(expected)) gain_ *= std::pow(10.0, (expected - trial) / 20);
    }
    if (!finish(&sink, total_)) return stopped();
    result.frames = total_;
    result.loudness_lufs = meter_.integrated_lufs();
    result.true_peak_dbtp = meter_.true_peak_dbtp();
    return result;
  }

 private:
  static TrackResult stopped() {
    TrackResult result;
    result.stopped = true;
    return result;
  }

  bool report(std::int64_t frame) {
    const double within = total_ > 0 ? static_cast<double>(frame) / static_cast<double>(total_) : 1;
    return progress_.at(std::min(1.0, (pass_ + within) / 2));
  }

  /// First pass: loudness, peak, the tail, and for a loop its last moments.
  bool listen() {
    Performer performer(performance_, settings_.sample_rate_hz);
    length_ = performer.length_frames();
    total_ = length_;
    trial_length_ = std::llround(trial_s * settings_.sample_rate_hz);
    meter_.reset(false);
    const auto priming = std::min<std::int64_t>(length_, std::llround(priming_s * settings_.sample_rate_hz));
    for (std::int64_t frame = 0; frame < length_; frame += block_step) {
      const StereoBlock block = next_block(length_ - frame);
      performer.render(block);
      note_peak(block);
      meter_.add(block);
      if (frame < trial_length_)
        trial_lufs_ = frame + block_step >= std::min(trial_length_, length_) ? meter_.integrated_lufs() : 0;
      const std::int64_t skip = length_ - priming - frame;
      if (skip < static_cast<std::int64_t>(block.frames)) {
        end_.append(block, static_cast<std::size_t>(std::max<std::int64_t>(skip, 0)));
      }
      if (!report(frame)) return false;
    }
    const auto longest = static_cast<std::size_t>(longest_tail_s * settings_.sample_rate_hz);
    while (!performer.finished() && tail_.size() < longest) {
      const StereoBlock block = next_block(block_step);
      performer.render(block);
      if (!settings_.loop) meter_.add(block);
      tail_.append(block, 0);
    }
    fade_tail();
    total_ = settings_.loop ? length_ : length_ + static_cast<std::int64_t>(tail_.size());
    if (settings_.loop) fold_into_end();
    ++pass_;
    return true;
  }

  /// The last tenth of the tail goes to nothing, so that a tail cut at its longest ends without a step.
  void fade_tail() {
    const std::size_t fade = tail_.size() / 10;
    for (std::size_t i = 0; i < fade; ++i) {
      const float gain = static_cast<float>(i) / static_cast<float>(fade);
      tail_.left[tail_.size() - 1 - i] *= gain;
      tail_.right[tail_.size() - 1 - i] *= gain;
    }
  }

  /// What rings longer than the loop reaches its end again: the moments kept for the limiter must have it too.
  void fold_into_end() {
    const std::int64_t first = length_ - static_cast<std::int64_t>(end_.size());
    for (std::size_t i = 0; i < tail_.size() && length_ > 0; ++i) {
      const std::int64_t place = static_cast<std::int64_t>(i) % length_ - first;
      if (place < 0) continue;
      end_.left[static_cast<std::size_t>(place)] += tail_.left[i];
      end_.right[static_cast<std::size_t>(place)] += tail_.right[i];
    }
  }

  /// Adds to a block what rings on: from before the start in a loop, after the end otherwise.
  void add_tail(const StereoBlock& block, std::int64_t frame) {
    for (std::size_t i = 0; i < block.frames; ++i) {
      const std::int64_t place = frame + static_cast<std::int64_t>(i);
      if (!settings_.loop) {
        if (place < length_) continue;
        block.left[i] = tail_.left[static_cast<std::size_t>(place - length_)];
        block.right[i] = tail_.right[static_cast<std::size_t>(place - length_)];
        continue;
      }
      for (std::int64_t t = place; t < static_cast<std::int64_t>(tail_.size()); t += length_) {
        block.left[i] += tail_.left[static_cast<std::size_t>(t)];
        block.right[i] += tail_.right[static_cast<std::size_t>(t)];
      }
    }
  }

  /// Last pass (or a trial without a sink): gain, limiter, meter, sink. @param until frames of the track
  bool finish(FrameSink* sink, std::int64_t until) {
    Performer performer(performance_, settings_.sample_rate_hz);
    const auto ceiling = static_cast<float>(std::pow(10.0, (settings_.ceiling_dbtp - limiter_margin_db) / 20));
    Limiter limiter(settings_.sample_rate_hz, ceiling);
    meter_.reset(sink != nullptr);
    if (settings_.loop) prime(limiter);
    StereoBuffer head;
    std::int64_t skip = static_cast<std::int64_t>(limiter.delay());
    for (std::int64_t frame = 0; frame < until; frame += block_step) {
      const StereoBlock block = next_block(until - frame);
      performer.render(block);
      add_tail(block, frame);
      if (head.size() < limiter.delay()) head.append(block, 0);
      deliver(limiter, block, skip, sink);
      if (!(sink != nullptr ? report(frame) : progress_.at(0.5))) return false;
    }
    // The limiter holds back its delay; a loop goes on with its own head.
    for (std::size_t left = limiter.delay(); left > 0;) {
      const StereoBlock block = next_block(static_cast<std::int64_t>(left));
      const std::size_t from = limiter.delay() - left;
      for (std::size_t i = 0; i < block.frames; ++i) {
        const bool goes_on = settings_.loop && head.size() > 0;
        block.left[i] = goes_on ? head.left[(from + i) % head.size()] : 0;
        block.right[i] = goes_on ? head.right[(from + i) % head.size()] : 0;
      }
      left -= block.frames;
      deliver(limiter, block, skip, sink);
    }
    return true;
  }

  void prime(Limiter& limiter) {
    for (std::size_t at = 0; at < end_.size(); at += block_frames) {
      const StereoBlock block = next_block(static_cast<std::int64_t>(end_.size() - at));
      for (std::size_t i = 0; i < block.frames; ++i) {
        block.left[i] = end_.left[at + i] * static_cast<float>(gain_);
        block.right[i] = end_.right[at + i] * static_cast<float>(gain_);
      }
      limiter.process(block);
    }
  }

  /// @param skip frames still to be dropped, because they came out of the limiter before the first of the piece
  void deliver(Limiter& limiter, StereoBlock block, std::int64_t& skip, FrameSink* sink) {
    for (std::size_t i = 0; i < block.frames; ++i) {
      block.left[i] *= static_cast<float>(gain_);
      block.right[i] *= static_cast<float>(gain_);
    }
    limiter.process(block);
    const auto drop = static_cast<std::size_t>(std::min<std::int64_t>(skip, static_cast<std::int64_t>(block.frames)));
    skip -= static_cast<std::int64_t>(drop);
    const StereoBlock kept{block.left + drop, block.right + drop, block.frames - drop};
    if (kept.frames == 0) return;
    meter_.add(kept);
    if (sink != nullptr) sink->write(kept);
  }

  void note_peak(const StereoBlock& block) {
    for (std::size_t i = 0; i < block.frames; ++i) {
      peak_ = std::max(
          {peak_, std::abs(static_cast<double>(block.left[i])), std::abs(static_cast<double>(block.right[i]))});
    }
  }

  StereoBlock next_block(std::int64_t frames_left) {
    const auto frames = std::min<std::int64_t>(frames_left, block_step);
    return {left_.data(), right_.data(), static_cast<std::size_t>(frames)};
  }

  const Performance& performance_;
  TrackSettings settings_;
  LoudnessMeter& meter_;
  Progress& progress_;
  std::array<float, block_frames> left_{}, right_{};
  StereoBuffer tail_, end_;
  std::int64_t length_ = 0;
  std::int64_t total_ = 0;
  double gain_ = 1;
  double peak_ = 0;
  int pass_ = 0;
  std::int64_t trial_length_ = 0;
  double trial_lufs_ = 0;  ///< of the stretch that a trial will limit, before gain
};

}  // namespace

TrackResult render_track(const Performance& performance, const TrackSettings& settings, LoudnessMeter& meter,
                         FrameSink& sink, Progress& progress) {
  return TrackRenderer(performance, settings, meter, progress).run(sink);
}

}  // namespace romanesca
