#pragma once

#include <algorithm>
#include <array>
#include <memory>
#include <vector>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/modal_voice.h"
#include "synth/sound/player.h"

namespace romanesca {

/// Plays up to 32 notes at once, each with a voice of its own. One more steals the quietest voice whose key is up, else
/// the quietest of all, which fades out within a few milliseconds while a spare voice plays the new note. A key struck
/// again releases its old note. Velocity becomes force, pitch is equally tempered (ISO 16:1975, A4 = 440 Hz).
///
/// A Voice can start(note, seed, offset), release(), fade(), add_to(left, right) and says whether it is active(),
/// released() and how loud it is: loudness().
template <typename Voice>
class PolyphonicPlayer final : public Player {
 public:
  /// @param prototype is copied for every voice.
  explicit PolyphonicPlayer(const Voice& prototype) : voices_(most_notes + spare, VoiceSlot{prototype, -1}) {}

  void note_on(int midi, int velocity, std::uint32_t seed, std::size_t offset) noexcept override {
    note_off(midi);
    steal_voice();
    VoiceSlot& slot = free_slot();
    slot.midi = midi;
    const float force = static_cast<float>(std::clamp(velocity, 1, 127)) / 127.0f;
    slot.voice.start({midi, force, 440.0 * exp2_of((midi - 69) / 12.0)}, seed, offset);
    sounding_[static_cast<std::size_t>(&slot - voices_.data())] = slot.voice.active();
  }

  void note_off(int midi) noexcept override {
    for (VoiceSlot& slot : voices_) {
      if (slot.midi == midi && slot.voice.active() && !slot.voice.released()) slot.voice.release();
    }
  }

  void add_to(float* left, float* right) noexcept override {
    for (std::size_t i = 0; i < voices_.size(); ++i) {
      if (!sounding_[i]) continue;
      voices_[i].voice.add_to(left, right);
      sounding_[i] = voices_[i].voice.active();
    }
  }

  [[nodiscard]] bool silent() const noexcept override {
    return std::none_of(sounding_.begin(), sounding_.end(), [](bool sounding) { return sounding; });
  }

 private:
  static constexpr std::size_t most_notes = 32;
  static constexpr std::size_t spare = 8;
  struct VoiceSlot {
    Voice voice;
    int midi = -1;
    bool stolen = false;  ///< fading out
  };

  void steal_voice() noexcept {
    std::size_t playing = 0;
    VoiceSlot* quietest = nullptr;
    for (VoiceSlot& slot : voices_) {
      if (!slot.voice.active()) slot.stolen = false;
      if (!slot.voice.active() || slot.stolen) continue;
      ++playing;
      if (quietest == nullptr || steals_before(slot.voice, quietest->voice)) quietest = &slot;
    }
    if (playing < most_notes || quietest == nullptr) return;
    quietest->stolen = true;
    quietest->voice.fade();
  }

  /// An idle voice; if all spare ones are still fading, the quietest.
  VoiceSlot& free_slot() noexcept {
    VoiceSlot* quietest = &voices_.front();
    for (VoiceSlot& slot : voices_) {
      if (!slot.voice.active()) return slot.stolen = false, slot;
      if (steals_before(slot.voice, quietest->voice)) quietest = &slot;
    }
    quietest->stolen = false;
    return *quietest;
  }

  static bool steals_before(const Voice& a, const Voice& b) noexcept {
    return a.released() != b.released() ? a.released() : a.loudness() < b.loudness();
  }

  std::vector<VoiceSlot> voices_;
  std::array<bool, most_notes + spare> sounding_{};  ///< active voices, in one array: the voices themselves are large
};

/// A player of a modal instrument.
template <ModalPatch (*patch_of)(const NoteInput&) noexcept>
std::unique_ptr<Player> modal_player(double sample_rate_hz, const KeySet& /*keys*/) {
  return std::make_unique<PolyphonicPlayer<ModalVoice>>(ModalVoice(patch_of, sample_rate_hz));
}

}  // namespace romanesca
