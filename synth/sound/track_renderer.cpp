#include "synth/sound/track_renderer.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "synth/sound/compressor.h"
#include "synth/sound/deterministic_math.h"
#include "synth/sound/limiter.h"
#include "synth/sound/loudness.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr std::size_t chunk_frames = 128 * block_frames;
constexpr auto chunk_step = static_cast<std::int64_t>(chunk_frames);
constexpr double trial_over_db = 1;  // peaks that much over the ceiling make a trial worthwhile
constexpr double trial_s = 3;        // of each of the trial's excerpts
constexpr std::int64_t trial_excerpts = 4;
constexpr double longest_tail_s = 10;      // after the end
constexpr double priming_s = 0.5;          // of a loop's end, fed to the limiter before its start
constexpr double limiter_margin_db = 0.1;  // between the limiter's estimate of true peaks and the meter's

class TrackRenderer {
 public:
  TrackRenderer(SoundSource& source, const TrackSettings& settings, FrameStore& store, TruePeakMeter& meter,
                Progress& progress)
      : source_(source),
        settings_(settings),
        store_(store),
        meter_(meter),
        progress_(progress),
        compressor_({}, settings.sample_rate_hz),
        loudness_(settings.sample_rate_hz),
        left_(chunk_frames),
        right_(chunk_frames) {}

  TrackResult run(FrameSink& sink) {
    TrackResult result;
    result.stopped = true;
    store_.clear();
    if (!lead_in() || !play()) return result;
    choose_gain();
    Loudness written(settings_.sample_rate_hz);
    if (!master(0, store_.frames(), [&](const StereoBlock& block) {
          written.add(block);
          meter_.add(block);
          sink.write(block);
        }))
      return result;
    result.stopped = false;
    result.frames = store_.frames();
    result.loudness_lufs = written.integrated_lufs();
    result.true_peak_dbtp = meter_.true_peak_dbtp();
    result.gain_db = gain_db_;
    return result;
  }

 private:
  StereoBlock chunk(std::int64_t frames) noexcept {
    return {left_.data(), right_.data(), static_cast<std::size_t>(std::min(frames, chunk_step))};
  }

  bool report(double fraction) { return on_trial_ || progress_.at(std::clamp(fraction, 0.0, 1.0)); }

  /// The next whole blocks of the mix, compressed. @param frames wanted; the blocks may be a little more.
  void render(std::int64_t frames) {
    constexpr auto block = static_cast<std::int64_t>(block_frames);
    const StereoBlock all = chunk((frames + block - 1) / block * block);
    source_.render(all);
    if (settings_.fixed_gain_db) return;
    for (std::size_t at = 0; at < all.frames; at += block_frames) compressor_.process(all.left + at, all.right + at);
  }

  void keep(const StereoBlock& kept) {
    peak_ = std::max({peak_, absolute_peak(kept.left, kept.frames), absolute_peak(kept.right, kept.frames)});
    if (!settings_.fixed_gain_db) loudness_.add(kept);
    store_.append(kept);
  }

  bool lead_in() {
    const std::int64_t frames = settings_.loop ? source_.lead_in_frames() : 0;
    for (std::int64_t at = 0; at < frames; at += chunk_step) {
      render(frames - at);
      if (!report(0)) return false;
    }
    return true;
  }

  /// Through the piece and, if it is no loop, until nothing rings any more.
  bool play() {
    const std::int64_t length = source_.length_frames();
    for (std::int64_t at = 0; at < length; at += chunk_step) {
      const StereoBlock kept = chunk(length - at);
      render(length - at);
      // Without a loop the last block is kept whole, since the tail follows.
      constexpr auto block = block_frames;
      keep(settings_.loop ? kept : StereoBlock{kept.left, kept.right, (kept.frames + block - 1) / block * block});
      if (!report(0.6 * static_cast<double>(at) / static_cast<double>(length))) return false;
    }
    if (!settings_.loop) ring_out();
    return true;
  }

  void ring_out() {
    const auto longest = static_cast<std::int64_t>(longest_tail_s * settings_.sample_rate_hz);
    const auto fade = static_cast<std::int64_t>(settings_.sample_rate_hz);
    for (std::int64_t at = 0; at < longest && !source_.finished(); at += block_frames) {
      const StereoBlock tail = chunk(block_frames);
      render(block_frames);
      // Only the longest tails are cut, with a fade.
      for (std::size_t i = 0; i < tail.frames; ++i) {
        const std::int64_t left = longest - at - static_cast<std::int64_t>(i);
        if (left >= fade) continue;
        const float gain = static_cast<float>(std::max<std::int64_t>(left, 0)) / static_cast<float>(fade);
        tail.left[i] *= gain;
        tail.right[i] *= gain;
      }
      keep(tail);
    }
  }

  void choose_gain() {
    if (settings_.fixed_gain_db) {
      gain_db_ = *settings_.fixed_gain_db;
      return;
    }
    const double heard = loudness_.integrated_lufs();
    gain_db_ = std::isfinite(heard) ? settings_.loudness_lufs - heard : 0;
    const double over_db = db_from_linear(static_cast<double>(peak_)) + gain_db_ - settings_.ceiling_dbtp;
    if (over_db <= trial_over_db) return;
    gain_db_ += trial_loss_db();
  }

  /// By how much the limiter makes the track softer, measured on excerpts from all over it.
  double trial_loss_db() {
    const auto longest = static_cast<std::int64_t>(trial_s * settings_.sample_rate_hz);
    const std::int64_t each = std::min(store_.frames() / trial_excerpts, longest);
    on_trial_ = true;
    Loudness before(settings_.sample_rate_hz);
    Loudness after(settings_.sample_rate_hz);
    for (std::int64_t excerpt = 0; excerpt < trial_excerpts; ++excerpt) {
      const std::int64_t first = store_.frames() / trial_excerpts * excerpt;
      for (std::int64_t at = 0; at < each; at += chunk_step) {
        const StereoBlock stored = chunk(each - at);
        store_.read(first + at, stored);
        before.add(stored);
      }
      (void)master(first, each, [&](const StereoBlock& limited) { after.add(limited); });
    }
    on_trial_ = false;
    const double loss = before.integrated_lufs() + gain_db_ - after.integrated_lufs();
    return std::isfinite(loss) ? loss : 0;
  }

  /// Gain and limiter over frames of the store, into @p use.
  template <typename Use>
  bool master(std::int64_t first, std::int64_t frames, const Use& use) {
    Limiter limiter(settings_.sample_rate_hz,
                    static_cast<float>(linear_from_db(settings_.ceiling_dbtp - limiter_margin_db)));
    const auto gain = static_cast<float>(linear_from_db(gain_db_));
    // From before the first frame (a loop's end) to so far past the last that the limiter has let it out.
    const auto before = static_cast<std::int64_t>(priming_s * settings_.sample_rate_hz);
    const std::int64_t priming = settings_.loop ? before : std::min(first, before);
    std::int64_t skip = priming + static_cast<std::int64_t>(Limiter::delay);
    std::int64_t left = frames;
    for (std::int64_t at = first - priming; left > 0; at += chunk_step) {
      const StereoBlock whole = chunk(chunk_step);
      read_around(at, whole);
      for (std::size_t i = 0; i < whole.frames; ++i) {
        whole.left[i] *= gain;
        whole.right[i] *= gain;
      }
      limiter.process(whole);
      const std::int64_t drop = std::min(skip, chunk_step);
      skip -= drop;
      StereoBlock kept = whole.from(static_cast<std::size_t>(drop));
      kept.frames = static_cast<std::size_t>(std::min(static_cast<std::int64_t>(kept.frames), left));
      left -= static_cast<std::int64_t>(kept.frames);
      if (kept.frames > 0) use(kept);
      if (!report(0.6 + 0.4 * (1 - static_cast<double>(left) / static_cast<double>(frames)))) return false;
    }
    return true;
  }

  /// Frames of the store from a position that may lie outside: a loop wraps around, else there is silence.
  void read_around(std::int64_t first, StereoBlock out) {
    const std::int64_t total = store_.frames();
    while (out.frames > 0) {
      const bool outside = first < 0 || first >= total;
      if (outside && !settings_.loop) {
        std::fill_n(out.left, out.frames, 0.0f);
        std::fill_n(out.right, out.frames, 0.0f);
        return;
      }
      const std::int64_t from = (first % total + total) % total;
      const auto count = static_cast<std::size_t>(std::min(static_cast<std::int64_t>(out.frames), total - from));
      store_.read(from, {out.left, out.right, count});
      out = out.from(count);
      first += static_cast<std::int64_t>(count);
    }
  }

  SoundSource& source_;
  TrackSettings settings_;
  FrameStore& store_;
  TruePeakMeter& meter_;
  Progress& progress_;
  Compressor compressor_;
  Loudness loudness_;
  std::vector<float> left_, right_;
  float peak_ = 0;
  double gain_db_ = 0;
  bool on_trial_ = false;
};

}  // namespace

TrackResult render_track(SoundSource& source, const TrackSettings& settings, FrameStore& store, TruePeakMeter& meter,
                         FrameSink& sink, Progress& progress) {
  return TrackRenderer(source, settings, store, meter, progress).run(sink);
}

}  // namespace romanesca
