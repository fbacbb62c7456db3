#pragma once

#include <array>
#include <vector>

#include "synth/sound/instrument.h"

namespace romanesca {

/// A drum kit. Each drum is synthesised twice when the kit is made, softly and hard; a stroke mixes the two by its
/// force, so velocity changes the timbre and a stroke costs two multiplications a frame. A hat stops the hat that
/// sounds.
class DrumKit final : public Player {
 public:
  explicit DrumKit(double sample_rate_hz);

  void note_on(int midi, int velocity, std::uint32_t seed) noexcept override;
  void note_off(int midi) noexcept override;  ///< drums ring on
  void add_to(float* out, std::size_t frames) noexcept override;
  [[nodiscard]] bool silent() const noexcept override;

 private:
  struct Drum {
    int key = 0;
    int choke_group = 0;
    std::vector<float> soft, hard;  ///< equally long
  };
  struct Stroke {
    const Drum* drum = nullptr;
    std::size_t position = 0;
    float soft_gain = 0, hard_gain = 0;
    float fade = 1, fade_step = 0;  ///< falls to 0 once choked
  };

  std::vector<Drum> drums_;
  std::array<Stroke, 24> strokes_{};
  float choke_step_;
};

}  // namespace romanesca
