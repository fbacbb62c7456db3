#pragma once

#include <array>
#include <memory>
#include <span>
#include <vector>

#include "synth/sound/instruments/drum_patch.h"
#include "synth/sound/player.h"

namespace romanesca {

/// A set of drums. Each drum is synthesised twice when the set is made, softly and hard; a stroke mixes the two by its
/// force, so velocity changes the timbre and a stroke costs two multiplications a frame. The first moments exist in
/// three variants, one of which the stroke's seed chooses, and force wavers a little, so that two equal strokes differ.
/// A hi-hat stops the hi-hat that sounds; drums ignore the release of their key.
class Percussion final : public Player {
 public:
  /// @param keys to be played: the others are not synthesised and stay silent.
  /// @param patches that live as long as the program
  Percussion(std::span<const DrumPatch> patches, double sample_rate_hz, const KeySet& keys);

  void note_on(int midi, int velocity, std::uint32_t seed, std::size_t offset) noexcept override;
  void note_off(int midi) noexcept override;
  void add_to(float* left, float* right) noexcept override;
  [[nodiscard]] bool silent() const noexcept override;

 private:
  struct Drum {
    int choke_group = 0;
    float left = 1, right = 1;  ///< gains of its pan
    DrumSamples whole;
    std::array<DrumSamples, 2> heads;  ///< other variants of its beginning, which end as the whole goes on
  };
  struct Stroke {
    const Drum* drum = nullptr;
    std::size_t position = 0, offset = 0;
    float soft_gain = 0, hard_gain = 0;
    float fade = 1, fade_step = 0;      ///< falls to 0 once choked
    const DrumSamples* head = nullptr;  ///< of the drum; null for the beginning of the whole
  };

  static std::shared_ptr<const Drum> make_drum(const DrumPatch& patch, double sample_rate_hz);
  /// The same; the drums that this thread made last are kept, since a new band often has those of the one before.
  static std::shared_ptr<const Drum> kept_drum(const DrumPatch& patch, double sample_rate_hz);
  Stroke& free_stroke() noexcept;

  std::vector<std::shared_ptr<const Drum>> drums_;
  std::array<const Drum*, 128> by_key_{};
  std::array<Stroke, 32> strokes_{};
  float choke_step_;
};

}  // namespace romanesca
