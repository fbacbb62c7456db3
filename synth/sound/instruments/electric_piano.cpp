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

constexpr float tine_silence = 3e-5f;
constexpr double tine_ratio = 14;
constexpr double radians_per_turn = 6.28318530717958647693;

/// A sine carrier whose phase a sine modulates. Levels and index (in turns) are linear within a block.
struct FmPair {
  float carrier, carrier_step, modulator, modulator_step;  ///< turns
  float level, level_step, index, index_step;
};

ROMANESCA_VECTOR_CLONES
// cppcheck-suppress passedByValue; so that nothing in the loop can change it
void add_fm_pair(const FmPair pair, float* __restrict tone) {
  for (int i = 0; i < static_cast<int>(block_frames); ++i) {
    const auto n = static_cast<float>(i);
    const float moved = (pair.index + pair.index_step * n) * sine_of_turns(pair.modulator + pair.modulator_step * n);
    // Two turns more, since the sine wants a positive phase.
    const float sample = sine_of_turns(2.0f + pair.carrier + pair.carrier_step * n + moved);
    tone[i] += (pair.level + pair.level_step * n) * sample;
  }
}

/// A value that falls by a factor each block.
struct Decay {
  float now = 0, factor = 1;
  [[nodiscard]] float step() const { return now * (factor - 1) / static_cast<float>(block_frames); }
  void advance() { now *= factor; }
};

class TineVoice {
 public:
  explicit TineVoice(double sample_rate_hz) noexcept : sample_rate_hz_(sample_rate_hz) {}

  void start(const NoteInput& note, std::uint32_t /*seed*/, std::size_t offset) noexcept {
    const auto force = static_cast<double>(note.force);
    const double octaves = note.octaves_above(60);
    const double ring_s = 7.0 * exp2_of(-octaves * 0.6);
    const double level = force * std::sqrt(force);
    phase_ = 0;
    step_ = note.frequency_hz / sample_rate_hz_;
    body_ = decay(level, ring_s);
    // The index of the body is in radians in Chowning's formula; the tone thins out towards the top.
    const double index = (0.25 + 1.5 * force * force) * exp2_of(-std::max(octaves, 0.0) * 0.5);
    body_index_ = decay(index / radians_per_turn, ring_s * 0.45);
    const bool tine_fits = (tine_ratio + 2) * step_ < 0.42;
    tine_ = decay(tine_fits ? level * 0.22 * exp2_of(-std::max(octaves, 0.0) * 0.5) : 0, 0.9);
    tine_index_ = decay((0.25 + 0.75 * force) / radians_per_turn, 0.6);
    const auto pan = static_cast<float>(std::clamp(octaves * 0.1, -0.35, 0.35));
    envelope_.start({0.0012f, 0.17f, pan, offset}, sample_rate_hz_);
    active_ = true;
  }
  void release() noexcept { envelope_.release(); }
  void fade() noexcept { envelope_.fade(); }

  void add_to(float* left, float* right) noexcept {
    alignas(64) std::array<float, block_frames> tone{};
    const auto phase = static_cast<float>(phase_);
    const auto step = static_cast<float>(step_);
    add_fm_pair({phase, step, phase, step, body_.now, body_.step(), body_index_.now, body_index_.step()}, tone.data());
    if (tine_.now > tine_silence) {
      const double tine_phase = phase_ * tine_ratio;
      const auto modulator = static_cast<float>(tine_phase - std::floor(tine_phase));
      add_fm_pair({phase, step, modulator, static_cast<float>(step_ * tine_ratio), tine_.now, tine_.step(),
                   tine_index_.now, tine_index_.step()},
                  tone.data());
    }
    envelope_.add_shaped(tone.data(), left, right);
    phase_ += step_ * static_cast<double>(block_frames);
    phase_ -= std::floor(phase_);
    for (Decay* each : {&body_, &body_index_, &tine_, &tine_index_}) each->advance();
    active_ = loudness() >= tine_silence;
  }

  [[nodiscard]] bool active() const noexcept { return active_; }
  [[nodiscard]] bool released() const noexcept { return envelope_.released(); }
  [[nodiscard]] float loudness() const noexcept {
    return (envelope_.released() ? envelope_.level() : 1.0f) * (body_.now + tine_.now);
  }

 private:
  [[nodiscard]] Decay decay(double level, double seconds) const noexcept {
    return {static_cast<float>(level),
            static_cast<float>(decay_per_frame(seconds, sample_rate_hz_ / static_cast<double>(block_frames)))};
  }

  double sample_rate_hz_;
  double phase_ = 0, step_ = 0;  ///< turns, turns per frame
  Decay body_, body_index_, tine_, tine_index_;
  NoteEnvelope envelope_;
  bool active_ = false;
};

}  // namespace

std::unique_ptr<Player> electric_piano(double sample_rate_hz, const KeySet& /*keys*/) {
  return std::make_unique<PolyphonicPlayer<TineVoice>>(TineVoice(sample_rate_hz));
}

}  // namespace romanesca
