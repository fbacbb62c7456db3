#include <algorithm>
#include <array>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"
#include "synth/sound/note_envelope.h"
#include "synth/sound/polyphonic_player.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr std::size_t most_harmonics = 10;
constexpr double vibrato_hz = 5.2;
constexpr double vibrato_cents = 14;
constexpr double vibrato_after_s = 0.25;
constexpr double vibrato_grows_s = 0.5;
constexpr double highest_harmonic = 0.45;  // of the sample rate

ROMANESCA_VECTOR_CLONES
void add_sine(float phase, float step, float level, float* __restrict tone) {
  for (int i = 0; i < static_cast<int>(block_frames); ++i) {
    tone[i] += level * sine_of_turns(phase + step * static_cast<float>(i));
  }
}

class SingingVoice {
 public:
  SingingVoice(double sample_rate_hz, double cents) noexcept : sample_rate_hz_(sample_rate_hz), cents_(cents) {}

  void start(const NoteInput& note, std::uint32_t /*seed*/, std::size_t offset) noexcept {
    const auto force = static_cast<double>(note.force);
    step_ = note.frequency_hz / sample_rate_hz_;
    phase_ = 0;
    seconds_ = 0;
    count_ = 0;
    double squares = 0;
    const double steepness = 0.62 - 0.42 * force;
    for (std::size_t n = 1; n <= most_harmonics; ++n) {
      // With a margin for the vibrato.
      if (static_cast<double>(n) * step_ * 1.01 >= highest_harmonic) break;
      const double level = exp_of(-steepness * static_cast<double>(n - 1)) * (n % 2 == 1 ? 1.0 : 0.5);
      levels_[count_++] = static_cast<float>(level);
      squares += level * level;
    }
    const double scale = force * std::sqrt(force) / std::sqrt(squares);
    for (std::size_t n = 0; n < count_; ++n) levels_[n] *= static_cast<float>(scale);
    loudness_ = static_cast<float>(scale);
    envelope_.start({0.02f, 0.09f, 0, offset}, sample_rate_hz_);
    active_ = true;
  }
  void release() noexcept { envelope_.release(); }
  void fade() noexcept { envelope_.fade(); }

  void add_to(float* left, float* right) noexcept {
    alignas(64) std::array<float, block_frames> tone{};
    const double depth = cents_ * std::clamp((seconds_ - vibrato_after_s) / vibrato_grows_s, 0.0, 1.0);
    const double swing = depth > 0 ? exp2_of(depth / 1200 * rotation_of(seconds_ * vibrato_hz).sine) : 1;
    const double step = step_ * swing;
    for (std::size_t n = 0; n < count_; ++n) {
      const auto harmonic = static_cast<double>(n + 1);
      const double phase = phase_ * harmonic;
      add_sine(static_cast<float>(phase - std::floor(phase)), static_cast<float>(step * harmonic), levels_[n],
               tone.data());
    }
    envelope_.add_shaped(tone.data(), left, right);
    phase_ += step * static_cast<double>(block_frames);
    phase_ -= std::floor(phase_);
    seconds_ += static_cast<double>(block_frames) / sample_rate_hz_;
    active_ = !(envelope_.released() && loudness() < 3e-5f);
  }

  [[nodiscard]] bool active() const noexcept { return active_; }
  [[nodiscard]] bool released() const noexcept { return envelope_.released(); }
  [[nodiscard]] float loudness() const noexcept { return envelope_.level() * loudness_; }

 private:
  double sample_rate_hz_, cents_;
  double phase_ = 0, step_ = 0;  ///< turns, turns per frame
  double seconds_ = 0;           ///< since the note began
  std::array<float, most_harmonics> levels_{};
  std::size_t count_ = 0;
  NoteEnvelope envelope_;
  float loudness_ = 0;
  bool active_ = false;
};

std::unique_ptr<Player> player(double sample_rate_hz, double cents) {
  return std::make_unique<PolyphonicPlayer<SingingVoice>>(SingingVoice(sample_rate_hz, cents));
}

}  // namespace

std::unique_ptr<Player> lead(double sample_rate_hz, const KeySet& /*keys*/) {
  return player(sample_rate_hz, vibrato_cents);
}

std::unique_ptr<Player> steady_lead(double sample_rate_hz, const KeySet& /*keys*/) { return player(sample_rate_hz, 0); }

}  // namespace romanesca
