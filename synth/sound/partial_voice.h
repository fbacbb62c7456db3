#pragma once

#include <array>
#include <cstdint>

#include "synth/sound/noise.h"
#include "synth/sound/recipe.h"
#include "synth/sound/sample_block.h"

namespace romanesca {

/// One note of a pitched instrument: a sum of sines, each with its own decay, under a common attack and release.
///
/// Additive synthesis keeps tuning exact (phases advance in double precision) and cannot alias: a partial above 0.45 of
/// the sample rate is left out. The cost is about a dozen arithmetic operations per partial and frame in vector code.
class PartialVoice {
 public:
  /// @param sample_rate_hz 8000 to 192000.
  explicit PartialVoice(double sample_rate_hz = 48000) noexcept : sample_rate_hz_(sample_rate_hz) {}

  /// Starts a note; whatever sounded before is cut off.
  /// @param frequency_hz of the note; @param level linear.
  void start(const Recipe& recipe, double frequency_hz, float level, std::uint32_t seed) noexcept;
  /// Lets the key go: the tone falls by 60 dB in the recipe's release time.
  void release() noexcept { released_ = true; }
  /// Adds the note to @p out. @param frames at most slice_frames.
  void add_to(float* out, std::size_t frames) noexcept;

  [[nodiscard]] bool active() const noexcept { return active_; }
  [[nodiscard]] bool released() const noexcept { return released_; }
  /// The present level of the strongest partial, for choosing whom to silence.
  [[nodiscard]] float loudness() const noexcept { return envelope_ * strongest_; }

 private:
  struct Sine {
    double phase = 0;  ///< turns, 0 to 1
    double step = 0;   ///< turns per frame
    float level = 0;
    float keep = 1;        ///< factor per frame
    float keep_slice = 1;  ///< factor per whole slice
  };

  void add_noise(float* out, std::size_t frames, float from, float to) noexcept;

  double sample_rate_hz_;
  std::array<Sine, most_partials> sines_{};
  std::size_t count_ = 0;
  float envelope_ = 0;      ///< attack and release, 0 to 1
  float attack_step_ = 1;   ///< per frame
  float release_keep_ = 0;  ///< factor per frame
  bool attacking_ = false;
  bool released_ = false;
  bool active_ = false;
  float strongest_ = 0;
  Noise noise_;
  float noise_level_ = 0, noise_keep_ = 0, noise_smooth_ = 0, noise_state_ = 0;
};

}  // namespace romanesca
