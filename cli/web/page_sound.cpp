#include "cli/web/page_sound.h"

#include "cli/web/plan_bytes.h"
#include "synth/sound/performer.h"
#include "synth/sound/track_renderer.h"

namespace romanesca {
namespace {

/// The limiter's own estimate is enough where nobody asks for the figure.
class NoMeter final : public TruePeakMeter {
 public:
  void add(const StereoBlock& /*block*/) override {}
  [[nodiscard]] double true_peak_dbtp() override { return 0; }
};

class Collector final : public FrameSink {
 public:
  explicit Collector(PageSound& sound) : sound_(sound) {}
  void write(const StereoBlock& block) override {
    sound_.left.insert(sound_.left.end(), block.left, block.left + block.frames);
    sound_.right.insert(sound_.right.end(), block.right, block.right + block.frames);
  }

 private:
  PageSound& sound_;
};

class Onwards final : public Progress {
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
  NoMeter meter;
  Collector collector(sound);
  Onwards onwards;
  static_cast<void>(render_track(performer, settings, store, meter, collector, onwards));
  return sound;
}

}  // namespace romanesca
