#pragma once

#include <array>
#include <cstdint>

#include "synth/sound/instrument.h"
#include "synth/sound/partial_voice.h"

namespace romanesca {

/// Plays a recipe with up to 32 notes at once. When all are taken, the next note silences the quietest of those whose
/// key is up, else the quietest of all. A key struck again lets its old note ring off.
class PitchedPlayer final : public Player {
 public:
  PitchedPlayer(Recipe (*recipe)(const Touch&) noexcept, double sample_rate_hz) noexcept;

  void note_on(int midi, int velocity, std::uint32_t seed) noexcept override;
  void note_off(int midi) noexcept override;
  void add_to(float* out, std::size_t frames) noexcept override;
  [[nodiscard]] bool silent() const noexcept override;

 private:
  struct Voice {
    PartialVoice sound;
    int midi = -1;
  };
  Voice& voice_for_next_note() noexcept;

  Recipe (*recipe_)(const Touch&) noexcept;
  std::array<Voice, 32> voices_;
};

}  // namespace romanesca
