#include "synth/sound/pitched_player.h"

#include <algorithm>
#include <cmath>

namespace romanesca {

PitchedPlayer::PitchedPlayer(Recipe (*recipe)(const Touch&) noexcept, double sample_rate_hz) noexcept
    : recipe_(recipe) {
  for (Voice& voice : voices_) voice.sound = PartialVoice(sample_rate_hz);
}

PitchedPlayer::Voice& PitchedPlayer::voice_for_next_note() noexcept {
  Voice* quietest = &voices_.front();
  for (Voice& voice : voices_) {
    if (!voice.sound.active()) return voice;
    const bool freer = voice.sound.released() && !quietest->sound.released();
    const bool as_free = voice.sound.released() == quietest->sound.released();
    if (freer || (as_free && voice.sound.loudness() < quietest->sound.loudness())) quietest = &voice;
  }
  return *quietest;
}

void PitchedPlayer::note_on(int midi, int velocity, std::uint32_t seed) noexcept {
  note_off(midi);
  const float force = static_cast<float>(std::clamp(velocity, 1, 127)) / 127.0f;
  const double frequency_hz = 440.0 * std::exp2((midi - 69) / 12.0);  // ISO 16:1975, equal temperament
  const Recipe recipe = recipe_({midi, force, static_cast<float>(frequency_hz)});
  Voice& voice = voice_for_next_note();
  voice.midi = midi;
  voice.sound.start(recipe, frequency_hz, std::pow(force, 1.5f), seed);
}

void PitchedPlayer::note_off(int midi) noexcept {
  for (Voice& voice : voices_) {
    if (voice.midi == midi && voice.sound.active() && !voice.sound.released()) voice.sound.release();
  }
}

void PitchedPlayer::add_to(float* out, std::size_t frames) noexcept {
  for (Voice& voice : voices_) voice.sound.add_to(out, frames);
}

bool PitchedPlayer::silent() const noexcept {
  return std::none_of(voices_.begin(), voices_.end(), [](const Voice& voice) { return voice.sound.active(); });
}

}  // namespace romanesca
