#include "cli/web/page_sound.h"

#include "cli/web/plan_bytes.h"
#include "synth/sound/performer.h"
#include "synth/sound/track_renderer.h"

namespace romanesca {
namespace {

/// Measures nothing: the limiter's own estimate is enough, since the figure is not reported.
class NullTruePeakMeter final : public TruePeakMeter {
 public:
  void add(const StereoBlock& /*block*/) override {}
  [[nodiscard]] double true_peak_dbtp() override { return 0; }
};

class BufferSink final : public FrameSink {
 public:
  explicit BufferSink(PageSound& sound) : sound_(sound) {}
  void write(const StereoBlock& block) override {
    sound_.left.insert(sound_.left.end(), block.left, block.left + block.frames);
    sound_.right.insert(sound_.right.end(), block.right, block.right + block.frames);
  }

 private:
  PageSound& sound_;
};

class IgnoredProgress final : public Progress {
 public:
  bool at(double /*fraction*/) override { return true; }
};

}  // namespace

PageSound page_sound(std::span<const std::uint8_t> bytes, double sample_rate_hz) {
  PageSound sound;
  const auto plan = read_plan(bytes);
  if (!plan) return sound;
  TrackSettings settings;
  settings.sample_rate_hz = sample_rate_hz;
  settings.loop = plan->loop;
  settings.loudness_lufs = static_cast<double>(plan->loudness_lufs);
  if (plan->loudness_lufs == 0) settings.fixed_gain_db = 0;
  Performer performer(plan->performance, {sample_rate_hz, plan->loop, nullptr});
  MemoryStore store;
  NullTruePeakMeter meter;
  BufferSink sink(sound);
  IgnoredProgress progress;
  static_cast<void>(render_track(performer, settings, store, meter, sink, progress));
  return sound;
}

}  // namespace romanesca
