#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "synth/hearing/onset_detector.h"
#include "synth/hearing/resampler.h"
#include "synth/hearing/tone_network.h"
#include "synth/hearing/tone_views.h"
#include "theory/listening/sounding_tones.h"

namespace romanesca {

/// Listens to a piano through a microphone: where notes begin, and which tones sound after that. It looks twenty times
/// a second, from 100 ms after an onset until 900 ms after it or until the next; each answer is the mean of the last
/// three looks. It follows the tuning of the piano. Allocates in its constructor only.
class ToneListener {
 public:
  /// @param input_rate_hz 8000 to 192000
  explicit ToneListener(double input_rate_hz);

  /// Calls @p use with what is heard by now, TonesHeard with times since the first sample.
  template <typename Use>
  void push(std::span<const float> samples, const Use& use) noexcept {
    resampler_.push(samples, [&](float sample) {
      if (const auto heard = take(sample)) use(*heard);
    });
  }

  /// How far the piano is tuned above 440 Hz, in cents; 0 until something was heard.
  [[nodiscard]] double tuning_cents() const noexcept { return viewer_.tuning_cents(); }
  /// Onsets so far.
  [[nodiscard]] int onsets() const noexcept { return onsets_; }

 private:
  static constexpr std::size_t kept = 2 * pitch_block;
  using Probabilities = std::array<float, 12>;

  std::optional<TonesHeard> take(float sample) noexcept;
  [[nodiscard]] std::span<const float> block_before(std::int64_t end) noexcept;

  HearingResampler resampler_;
  OnsetDetector detector_;
  ToneViewer viewer_;
  ToneNetwork network_;
  ToneViews views_;
  std::vector<float> ring_, block_;
  std::int64_t count_ = 0, onset_ = 0, next_look_ = 0;
  std::array<Probabilities, 3> looks_{};
  std::size_t looked_ = 0;  ///< at this onset
  int onsets_ = 0;
};

}  // namespace romanesca
