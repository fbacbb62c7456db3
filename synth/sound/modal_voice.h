#pragma once

#include <array>
#include <cstdint>

#include "synth/sound/modal_patch.h"
#include "synth/sound/noise.h"
#include "synth/sound/note_envelope.h"
#include "synth/sound/sample_block.h"

namespace romanesca {

/// One note as a sum of decaying sines (modal or additive synthesis) under a common attack and release.
///
/// A decaying sine is a rotating, shrinking phasor: a sub-block of it is a sum of two fixed shapes, the decaying cosine
/// and sine of that partial, weighted by the phasor. The shapes are computed when the note starts; a sub-block then
/// costs four operations a frame and partial, all of them vector code, and the phasor moves to the next sub-block by a
/// complex product in double precision, so tuning does not drift. Sub-blocks are half a block long, so that the shapes
/// of some hundred partials fit into the first-level cache. Cannot alias: partials above 0.45 of the sample rate are
/// left out. No two notes are quite alike: the seed changes the level of every partial a little.
class ModalVoice {
 public:
  using PatchOf = ModalPatch (*)(const NoteInput&) noexcept;

  /// @param sample_rate_hz 8000 to 192000.
  ModalVoice(PatchOf patch, double sample_rate_hz) noexcept : patch_of_(patch), sample_rate_hz_(sample_rate_hz) {}

  /// Starts a note and cuts off what sounded before. @param offset see Player::note_on.
  void start(const NoteInput& note, std::uint32_t seed, std::size_t offset) noexcept;
  void release() noexcept { envelope_.release(); }
  void fade() noexcept { envelope_.fade(); }
  /// Adds a block. @param left, right two blocks long.
  void add_to(float* left, float* right) noexcept;

  [[nodiscard]] bool active() const noexcept { return active_; }
  [[nodiscard]] bool released() const noexcept { return envelope_.released(); }
  /// The present level of the strongest partial, for voice stealing.
  [[nodiscard]] float loudness() const noexcept { return envelope_.level() * strongest_; }

 private:
  static constexpr std::size_t group = 4;  ///< partials summed together
  static_assert(most_partials % group == 0);
  static constexpr std::size_t sub_block = block_frames / 2;
  using Shape = std::array<float, 2 * sub_block>;  ///< a sub-block of the cosine, then of the sine

  void add_partial(double step_turns, float level, float decay_s, double ratio) noexcept;
  void drop_silent_partials() noexcept;
  void add_noise(float* tone) noexcept;

  /// The phasors, and the factors that rotate them by one sub-block.
  alignas(64) std::array<double, most_partials> real_{}, imaginary_{}, turn_real_{}, turn_imaginary_{};
  alignas(64) std::array<float, most_partials> squares_{};
  alignas(64) std::array<Shape, most_partials> shapes_{};
  PatchOf patch_of_;
  double sample_rate_hz_;
  std::size_t count_ = 0;
  NoteEnvelope envelope_;
  bool active_ = false;
  float strongest_ = 0;
  int blocks_ = 0;  ///< since silent partials were dropped
  Noise noise_;
  float noise_level_ = 0, noise_decay_ = 0, noise_smoothing_ = 0, noise_state_ = 0;
  float noise_low_smoothing_ = 0, noise_low_state_ = 0;
};

}  // namespace romanesca
